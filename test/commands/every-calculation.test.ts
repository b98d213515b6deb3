import fc from 'fast-check';
import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RULES } from '../../commands/plan/step-words.js';
import { cautionsOf, type Figure, type Reply } from '../../src/chat/reply.js';
import { FAT_RULES, SEALED_WORDS } from '../../src/kitchen/render-words.js';
import { KEEPING } from '../../src/safety/storage.js';
import { celsiusFirst } from '../../src/words/amounts.js';
import { CALCULATIONS, type Given, lineOf, maybe, method, tenths } from '../support/generated-calls.js';
import { type SpokenAmount, spokenAmounts } from '../support/spoken-amounts.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const CALLS_EACH = 60;
const SEED = 20_261_125;
const runs = (numRuns: number) => ({ numRuns, seed: SEED, endOnFailure: true });

async function outcomeOf(command: string, options: Given): Promise<Reply | undefined> {
  const outcome = await talk.hear(lineOf(command, options));
  if (outcome.kind === 'refusal') {
    expect(outcome.text).not.toContain('saved');
    return undefined;
  }
  if (outcome.kind === 'form') throw new Error(`${command} answers with a form`);
  return outcome;
}

interface Named {
  readonly name: string;
  readonly value: number;
}

function flat(figure: Figure, name = ''): readonly Named[] {
  if (figure === null) return [];
  if (typeof figure === 'number') return [{ name, value: figure }];
  if (Array.isArray(figure)) return figure.flatMap((inner: Figure) => flat(inner, name));
  return Object.entries(figure).flatMap(([inner, value]) => flat(value, inner));
}

describe.each(CALCULATIONS)('every %s', (command, options) => {
  let answered = 0;

  it('is finite, in order and says only numbers that are its figures', async () => {
    await fc.assert(
      fc.asyncProperty(options, async (typed) => {
        const reply = await outcomeOf(command, typed);
        if (reply === undefined) return;
        answered++;
        expect(reply.lines.length).toBeGreaterThan(0);
        expect(cautionsOf(reply).length).toBeLessThanOrEqual(5);
        expect(reply.sources.length).toBeLessThanOrEqual(3);
        expectOrder(reply);
        expectSpokenFigures(reply, typed.zone ?? 'UTC');
      }),
      runs(CALLS_EACH),
    );
    expect(answered).toBeGreaterThan(CALLS_EACH / 4);
  });

  it('has the same figures in both unit systems, and a working', async () => {
    await fc.assert(
      fc.asyncProperty(options, async (typed) => {
        const us = await outcomeOf(command, { ...typed, unit: 'us' });
        const metric = await outcomeOf(command, { ...typed, unit: 'metric' });
        expect(metric?.figures).toEqual(us?.figures);
        if (us === undefined) return;
        expect(us.lines.join(' ')).not.toMatch(/\d (?:kg|L|ml|m)(?![\p{L}])/u);
        const [button] = us.actions;
        const working = await talk.ask(`press:${button?.id}`);
        expect(working.title).toBe(`The working: ${us.title}`);
        for (const reply of [us, working]) expectRoom(reply);
      }),
      runs(12),
    );
  });
});

/**
 * Discord, Message › Embed Limits: 4,096 characters of description, 2,048 of footer, 6,000 in all. Every bracket and
 * underscore may cost one more.
 */
function expectRoom(reply: Reply): void {
  const { title, lines, sources } = reply;
  const described = lines.join('\n').replace(/[[\]_*<]/g, '\\$&').length;
  const cautioned = cautionsOf(reply)
    .map(({ text, source }) => `${text} ${source}`)
    .join('').length;
  const named = sources.join('; ').length;
  expect([title, described <= 4096]).toEqual([title, true]);
  expect([title, named <= 2030]).toEqual([title, true]);
  expect([title, title.length + described + named + cautioned + 100 <= 6000]).toEqual([title, true]);
}

/** What is called low is no higher than what is called high, and what lies between lies between. */
function expectOrder({ figures, title }: Reply): void {
  for (const [name, low] of Object.entries(figures)) {
    const high = figures[name.replace('Low', 'High')];
    const middle = figures[name.replace('Low', '')];
    if (!name.includes('Low') || typeof low !== 'number' || typeof high !== 'number') continue;
    expect([title, name, low <= high]).toEqual([title, name, true]);
    if (typeof middle !== 'number') continue;
    expect([title, name, low <= middle && middle <= high]).toEqual([title, name, true]);
  }
}

/** Sentences of the trade's own tables hold their sources' numbers. */
const QUOTED = [
  ...Object.values(RULES),
  SEALED_WORDS,
  ...Object.values(FAT_RULES).flatMap((rule) => [rule, celsiusFirst(rule, 'metric')]),
  ...Object.values(KEEPING).map(({ note }) => note),
];

function expectSpokenFigures(reply: Reply, zone: string): void {
  const prose = [reply.title, ...reply.lines].join('\n');
  const own = QUOTED.reduce((text, quoted) => text.replaceAll(quoted, ''), prose);
  const figures = flat(reply.figures);
  const strays = spokenAmounts(own).filter(
    (spoken) =>
      !figures.some((figure) => candidates(figure, spoken, zone).some((value) => isSpokenAs(value, spoken))),
  );
  expect([own, strays]).toEqual([own, []]);
}

/** A figure as it could be spoken of in some dimension; its name ends in its unit. */
function candidates({ name, value }: Named, { dimension }: SpokenAmount, zone: string): readonly number[] {
  const ends = (...endings: readonly string[]) => endings.some((ending) => name.endsWith(ending));
  switch (dimension) {
    case 'mass':
      if (name === 'sodiumMgPerTbsp') return [value / 1000];
      return ends('G', 'GEach') ? [value] : [];
    case 'volume':
      return ends('Ml', 'MlEach') || name === 'ml' ? [value] : [];
    case 'time':
      if (ends('Days', 'DaysLow', 'DaysHigh')) return [value * 1440];
      if (/hours/i.test(name)) return [value * 60];
      if (ends('Seconds')) return [value / 60];
      return /minutes/i.test(name) ? [value] : [];
    case 'temperature':
      return ends('C') ? [value] : [];
    case 'length':
      return ends('Cm') ? [value / 100] : ends('M') ? [value] : [];
    case 'power':
      return ends('W') ? [value] : [];
    case 'energy':
      return ends('KWh') ? [value] : [];
    case 'share':
      // Gum may outweigh the water; no other share is more than one.
      return name === 'xanthanOfWater' || (value >= 0 && value <= 1) ? [value] : [];
    case 'clock': {
      if (!ends('Ms')) return [];
      const at = DateTime.fromMillis(value, { zone });
      return [at.hour * 60 + at.minute];
    }
    case 'count':
      return [value];
  }
}

/** Friendly rounding: 2 %, or half of the last place that is spoken. */
function isSpokenAs(value: number, { value: spoken, step, dimension }: SpokenAmount): boolean {
  if (dimension === 'clock' || (dimension === 'count' && Number.isInteger(value))) return value === spoken;
  return Math.abs(spoken - value) <= Math.max(0.0201 * Math.abs(value), 0.5001 * step);
}

describe('what physics says of every render', () => {
  const wet = fc.constantFrom('open-pot', 'slow-cooker');

  it('boils cooler the higher the kitchen', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: -500, max: 5900 }),
        fc.integer({ min: 1, max: 100 }),
        async (low, more) => {
          const at = async (metres: number) =>
            numberIn(await talk.ask(`/water fat:5lb altitude:"${metres} m"`), 'boilC');
          expect(await at(low + more)).toBeLessThan(await at(low));
        },
      ),
      runs(25),
    );
  });

  it('takes no less water for more fat', async () => {
    await fc.assert(
      fc.asyncProperty(tenths(0.1, 100), tenths(0.1, 50), method, async (less, more, how) => {
        const waterFor = async (kg: number) => {
          const reply = await outcomeOf('/water', { fat: `${kg} kg`, method: how });
          return reply && numberIn(reply, 'waterMl');
        };
        const [some, plenty] = [await waterFor(less), await waterFor(less + more)];
        if (some !== undefined && plenty !== undefined) expect(plenty).toBeGreaterThanOrEqual(some);
      }),
      runs(25),
    );
  });

  it('runs dry no earlier with the lid on', async () => {
    await fc.assert(
      fc.asyncProperty(
        tenths(0.5, 20),
        wet,
        maybe(fc.integer({ min: 1500, max: 20_000 })),
        async (kg, how, watts) => {
          const burner = watts === undefined ? '' : ` burner:"${watts} W"`;
          const dry = async (lid: string) => {
            const outcome = await talk.hear(`/water fat:"${kg} kg" method:${how} lid:${lid}${burner}`);
            return outcome.kind === 'reply' ? numberIn(outcome, 'dryAtMinutes') : undefined;
          };
          const [on, ajar, off] = [await dry('on'), await dry('ajar'), await dry('off')];
          if (on === undefined || ajar === undefined || off === undefined) return;
          expect(on).toBeGreaterThanOrEqual(ajar);
          expect(ajar).toBeGreaterThanOrEqual(off);
        },
      ),
      runs(25),
    );
  });

  it('has the same figures for the same amounts in other units', async () => {
    await fc.assert(
      fc.asyncProperty(tenths(0.5, 60), fc.integer({ min: 0, max: 15_000 }), async (pounds, feet) => {
        const us = await talk.ask(`/water fat:"${pounds} lb" altitude:"${feet} ft"`);
        // NIST SP 811, appendix B: exact.
        const metric = await talk.ask(`/water fat:"${pounds * 453.59237} g" altitude:"${feet * 0.3048} m"`);
        const [ours, theirs] = [flat(us.figures), flat(metric.figures)];
        expect(theirs.map(({ name }) => name)).toEqual(ours.map(({ name }) => name));
        for (const [place, { value }] of ours.entries())
          expect(theirs[place]?.value).toBeCloseTo(value, 6 - Math.ceil(Math.log10(Math.abs(value) + 1)));
      }),
      runs(15),
    );
  });
});
