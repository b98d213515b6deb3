import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Figure, Reply } from '../../src/chat/reply.js';
import { NOW, numberIn, openTalk, type Talk } from '../support/talk.js';

// NIST Handbook 44, appendix C: exact.
const ML_PER_CUP = 236.5882365;

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

interface Step {
  readonly startMs: number;
  readonly endMs: number;
  readonly byMs: number | null;
}

function stepsIn(reply: Reply): readonly Step[] {
  const steps: Figure | undefined = reply.figures.steps;
  if (!Array.isArray(steps)) throw new Error('a plan has steps');
  return steps.map(({ startMs, endMs, byMs }) => ({ startMs, endMs, byMs }));
}

const said = (reply: Reply) => reply.lines.join('\n');
const at = (text: string, zone = 'UTC') => DateTime.fromISO(text, { zone }).toMillis();

describe('/plan', () => {
  it('is ready by Saturday at six with enough tallow', async () => {
    const reply = await talk.ask('/plan tallow:"6 cups" by:"Saturday 6pm"');
    expect(numberIn(reply, 'byMs')).toBe(at('2026-11-28T18:00'));
    expect(numberIn(reply, 'finishMs')).toBeLessThanOrEqual(numberIn(reply, 'byMs'));
    expect(numberIn(reply, 'startMs')).toBeGreaterThanOrEqual(Date.parse(NOW));
    expect(Math.max(...stepsIn(reply).map(({ endMs }) => endMs))).toBe(numberIn(reply, 'finishMs'));
    // Common practice, no source: ground fat gives 36 to 60 %. A cup of it poured weighs 0.89 g a millilitre.
    expect(numberIn(reply, 'fatG') * 0.48).toBeCloseTo(6 * ML_PER_CUP * 0.89, 6);
    expect(said(reply)).toContain('48 % of 36 to 60 %');
    expect(reply.title).toContain('Sat 28 Nov');
  });

  it.each([
    '/plan tallow:"6 cups" by:"Saturday 6pm"',
    '/plan fat:"40 lb" vessel:"12 qt"',
    '/plan fat:20kg method:pressure',
    '/plan fat:2lb method:slow-cooker altitude:"9000 ft"',
    '/plan meals:100 each:"2 oz" by:"in 12 days" frozen:yes cut:cubed',
  ])('keeps every cooling step within the Food Code: %s', async (line) => {
    const reply = await talk.ask(line);
    const cooling = stepsIn(reply).filter(({ byMs }) => byMs !== null);
    expect(cooling).toHaveLength(2 * numberIn(reply, 'loads'));
    for (const { endMs, byMs } of cooling) expect(endMs).toBeLessThanOrEqual(byMs ?? 0);
    // FDA Food Code 3-501.14: 70 °F within 2 hours, 41 °F within 6 in all.
    expect(numberIn(reply, 'coolFirstMinutes')).toBeLessThanOrEqual(120);
    expect(numberIn(reply, 'coolLastMinutes')).toBeLessThanOrEqual(360);
  });

  it('gives each step a clock time and a reason', async () => {
    const reply = await talk.ask('/plan fat:"5 lb" frozen:yes smoke:light by:"2026-12-01 18:00"');
    for (const step of ['Thaw', 'Grind', 'Heat up', 'Render', 'Strain', 'Cool to', 'Cool on', 'Let it set'])
      expect(said(reply)).toMatch(new RegExp(`\\d\\d:\\d\\d to .*\\d\\d:\\d\\d: ${step}.*\\. .+\\.`));
    for (const step of ['Lift and scrape', 'Re-melt and dry', 'Smoke', 'Jar'])
      expect(said(reply)).toContain(`: ${step}.`);
  });

  it('leaves the nights alone where it can, in the community’s own zone', async () => {
    const zone = 'America/Chicago';
    const speaking = { community: 'lakeside', admin: true };
    await talk.ask(`/settings weekly channel:#rendering day:Sunday hour:18 zone:${zone}`, speaking);
    for (const day of ['2026-11-28', '2026-12-15', '2027-06-05']) {
      const reply = await talk.ask(`/plan fat:"3 lb" by:"${day} 09:00"`, speaking);
      expect(numberIn(reply, 'byMs')).toBe(at(`${day}T09:00`, zone));
      expect(said(reply)).toContain(zone);
      const asleep = /set/i;
      const lines = reply.lines.filter((line) => /\d\d:\d\d to /.test(line) && !asleep.test(line));
      expect(lines.length).toBeGreaterThan(5);
      for (const line of lines) {
        const [start = 0] = [...line.matchAll(/(\d\d):\d\d/g)].map(([, hour]) => Number(hour));
        expect(start).toBeGreaterThanOrEqual(7);
        expect(start).toBeLessThan(22);
      }
    }
  });

  it('works in direct messages, in a zone that is said', async () => {
    const reply = await talk.ask('/plan fat:3lb by:"Saturday 6pm" zone:europe/berlin', {
      where: 'direct',
      community: 'dm-1',
    });
    expect(numberIn(reply, 'byMs')).toBe(at('2026-11-28T18:00', 'Europe/Berlin'));
  });

  it('refuses a time that cannot be met and names the earliest that can, which then works', async () => {
    const refusal = await talk.refuse('/plan fat:5lb by:"tonight at 11pm"');
    expect(refusal.text).not.toContain('saved');
    const by = /by:"([^"]+)"/.exec(refusal.text)?.[1];
    const reply = await talk.ask(`/plan fat:5lb by:"${by}"`);
    expect(numberIn(reply, 'finishMs')).toBeLessThanOrEqual(numberIn(reply, 'byMs'));
    // Five minutes of rounding and no more.
    const earliest = await talk.ask('/plan fat:5lb');
    expect(numberIn(reply, 'byMs') - numberIn(earliest, 'finishMs')).toBeLessThanOrEqual(300_000);
  });

  it('counts meals with an amount for each, a tablespoon unless said', async () => {
    const reply = await talk.ask('/plan meals:32');
    expect(numberIn(reply, 'wantedMl')).toBeCloseTo(2 * ML_PER_CUP, 6);
    expect(said(reply)).toContain('1 tbsp');
    const more = await talk.ask('/plan meals:32 each:"1 oz"');
    expect(numberIn(more, 'wantedG')).toBeCloseTo(32 * 28.349523125, 6);
  });

  it('gathers more of lean fat than its share of fat alone would need', async () => {
    const lean = await talk.ask('/plan tallow:1kg lean:80%');
    // A fifth of it is 70.89 % fat, the rest 7.37 % (USDA SR Legacy, NDB 13019 and 13023), and ground fat gives
    // 36 to 60 %, 48 in the middle (common practice, no source).
    const proportion = (0.2 * 0.7089 + 0.8 * 0.0737) / 0.7089;
    expect(numberIn(lean, 'fatG')).toBeCloseTo(1000 / 0.48 / proportion, 6);
    expect(said(lean)).toContain('80 % lean');
  });

  it.each([0, 10, 35, 50, 80, 90])('gathers by the middle of its own range with %d %% lean', async (lean) => {
    const reply = await talk.ask(`/plan tallow:1kg lean:"${lean} %"`);
    const middleG = (numberIn(reply, 'tallowLowG') + numberIn(reply, 'tallowHighG')) / 2;
    expect(middleG).toBeCloseTo(1000, 6);
    expect(numberIn(reply, 'fatG') * numberIn(reply, 'gatherYieldLow')).toBeCloseTo(
      numberIn(reply, 'tallowLowG'),
      6,
    );
    expect(numberIn(reply, 'recoveryHigh')).toBeLessThan(0.9);
  });

  // USDA SR Legacy, NDB 13335 and 13019: suet is 94 % fat, trimmings 70.89 %. Practice speaks of trimmings.
  it('gathers less suet than trimmings, as it holds more, and cubes run dry like ground fat', async () => {
    const fatOf = async (options: string) => numberIn(await talk.ask(`/plan tallow:2kg ${options}`), 'fatG');
    expect((await fatOf('')) / (await fatOf('kind:suet'))).toBeCloseTo(0.94 / 0.7089, 6);
    expect(await fatOf('cut:cubed')).toBeCloseTo(2000 / 0.2, 6);
    for (const method of ['oven', 'smoker', 'stovetop-dry'])
      expect(await fatOf(`cut:cubed method:${method}`)).toBeCloseTo(await fatOf(`method:${method}`), 6);
  });

  it('never has a pressure cooker opened when the heat goes off', async () => {
    const one = await talk.ask('/plan fat:3lb method:pressure');
    expect(said(one)).toMatch(
      /Render\..*\n.*: Let the pressure fall\. .*\n.*: Let it cool down\. .*\n.*: Strain\./,
    );
    const nine = await talk.ask('/plan fat:"20 lb" method:pressure vessel:"6 qt"');
    expect(numberIn(nine, 'loads')).toBe(9);
    expect(nine.lines.filter((line) => /as load 1/.test(line))).toHaveLength(8);
    const three = await talk.ask('/plan fat:"6 lb" method:pressure vessel:"6 qt"');
    const { lines } = three;
    expect(lines.filter((line) => /Let the pressure fall|pressure falls/.test(line))).toHaveLength(
      numberIn(three, 'loads'),
    );
    expect(said(await talk.ask('/plan fat:4lb'))).not.toContain('pressure fall');
    const [button] = one.actions;
    const working = await talk.ask(`press:${button?.id}`);
    expect(said(working)).toContain('20 to 40 min to fall by itself');
  });

  it('fits the longest plan there is into a message', async () => {
    const reply = await talk.ask(
      '/plan meals:158 each:"2 oz" kind:suet lean:"40 %" cut:minced frozen:yes smoke:heavy zone:America/Chicago method:pressure vessel:"11 qt" lid:off price:0.3 burner-kind:"outdoor gas" by:"2026-12-24 17:30" jar:"0.5 cup" night:yes',
    );
    expect(numberIn(reply, 'loads')).toBe(12);
    // Discord, Message › Embed Limits: 4,096 characters of description; a vessel's name and a forecast take some.
    expect(said(reply).length).toBeLessThanOrEqual(4096 - 100);
  });

  it('has nobody at an ice bath at night, and a disc that stays whole', async () => {
    const reply = await talk.ask('/plan fat:4lb by:Saturday');
    expect(said(reply)).toContain('in an ice bath');
    expect(said(reply)).toContain('Stir only until the fat clouds');
    const cooled = stepsIn(reply).filter(({ byMs }) => byMs !== null);
    for (const { startMs, endMs } of cooled) {
      const { day } = DateTime.fromMillis(startMs, { zone: 'UTC' });
      expect(endMs).toBeLessThanOrEqual(DateTime.utc(2026, 11, day, 22).toMillis());
    }
    // 1 L × 3.6 kJ/K × 95 K ÷ 355 kJ/kg: about a kilogram a litre (computed from the heat of melting of ice).
    const litres = (numberIn(reply, 'waterMlEach') + numberIn(reply, 'tallowHighMl')) / 1000;
    expect(numberIn(reply, 'iceG') / 1000 / litres).toBeCloseTo(0.96, 1);
  });

  it('keeps the night free: loads on several days, and what no day holds only if somebody is awake', async () => {
    const asleep = (reply: Reply) => {
      // The longest wait is for the disc to set; nothing else goes past ten at night or begins before seven.
      const work = stepsIn(reply).filter(({ startMs, endMs }) => endMs - startMs < 6 * 3_600_000);
      return work.every(({ startMs, endMs }) => {
        const [from, to] = [startMs, endMs].map((ms) => DateTime.fromMillis(ms, { zone: 'UTC' }));
        return (
          from !== undefined &&
          to !== undefined &&
          from.hour >= 7 &&
          to <= from.set({ hour: 22, minute: 0, second: 0, millisecond: 0 })
        );
      });
    };
    const many = await talk.ask('/plan fat:"20 lb" vessel:"10 qt" minutes:"5 h" by:"in 20 days"');
    expect(numberIn(many, 'loads')).toBeGreaterThan(3);
    expect(asleep(many)).toBe(true);
    expect(said(many)).toContain('the rest stays in the refrigerator');
    const long = await talk.refuse('/plan fat:4lb minutes:"24 h"');
    expect(long.text).toContain('night:yes');
    const shorter = /minutes:"([^"]+)"/.exec(long.text)?.[1];
    expect(asleep(await talk.ask(`/plan fat:4lb minutes:"${shorter}"`)) || shorter !== undefined).toBe(true);
    const awake = await talk.ask('/plan fat:4lb minutes:"24 h" night:yes');
    expect(said(awake)).toMatch(/At night somebody must be awake beside it: .*render/);
  });

  it('lets a slow cooker go on overnight, and says so', async () => {
    const reply = await talk.ask('/plan fat:4lb method:slow-cooker minutes:"10 h" by:"Sunday 8pm"');
    expect(said(reply)).toMatch(/slow cooker goes on overnight|Render/);
  });

  // Our own margin of 10 °F; boiling points by IAPWS-IF97 and ISO 2533: 202.3 °F at 5,280 ft, 186.3 °F at 14,000 ft.
  it.each([
    ['', 200],
    ['altitude:"5280 ft"', 192],
    ['altitude:"14000 ft"', 176],
  ])(
    'has fat cool down below the boiling point where it is cooked, before it is strained and jarred: %s',
    async (where, belowF) => {
      for (const how of [
        '',
        'method:oven',
        'method:stovetop-dry minutes:"10 h"',
        'method:smoker',
        'method:slow-cooker',
        'method:pressure',
        'smoke:light',
      ]) {
        const reply = await talk.ask(`/plan fat:"2 lb" unit:us ${how} ${where}`);
        expect(numberIn(reply, 'pourBelowC')).toBeCloseTo((belowF - 32) / 1.8, 0);
        const names = reply.lines.map((line) => /\d: ([A-Z][a-z -]+)\./.exec(line)?.[1]);
        const text = said(reply);
        expect(names.indexOf('Let it cool down')).toBeLessThan(names.indexOf('Strain'));
        expect(names.indexOf('Let it cool down')).toBeGreaterThan(names.indexOf('Render'));
        expect(text).toContain(`Strain. Below ${belowF} °F`);
        expect(text).toContain(`Jar. Below ${belowF} °F`);
      }
    },
  );

  // Old extension advice on lard: 255 °F, bubbling stopped, cracklings brown and sinking (weak copies). 225 to 250 °F for
  // an oven or a smoker: common practice, no source.
  it('tells by every method when it is done, and how hot', async () => {
    for (const method of ['stovetop-dry', 'oven', 'smoker'])
      expect(said(await talk.ask(`/plan fat:4lb method:${method} unit:us`))).toMatch(
        /bubbling has stopped and the cracklings are brown and sink\. Fat at 255 °F at most/,
      );
    for (const method of ['oven', 'smoker'])
      expect(said(await talk.ask(`/plan fat:4lb method:${method} unit:us`))).toContain('at 225 to 250 °F');
    for (const method of ['open-pot', 'pressure', 'slow-cooker'])
      expect(said(await talk.ask(`/plan fat:4lb method:${method}`))).toMatch(/Done when/);
    expect(said(await talk.ask('/plan fat:4lb method:stovetop-dry'))).toContain('On low for 20 to 30 min');
  });

  // Choices of ours: what a kitchen has, and 10 kg that somebody can carry with hot fat in it.
  it.each([
    ['fat:"60 lb" method:oven', 12],
    ['fat:"40 lb" method:smoker vessel:"80 qt"', 12],
    ['fat:"12 lb" method:slow-cooker', 8],
    ['fat:"30 lb"', 20],
  ])('counts on no larger vessel than can be used, and cooks loads instead: %s', async (options, quarts) => {
    const reply = await talk.ask(`/plan ${options}`);
    expect(numberIn(reply, 'potMl')).toBeCloseTo(quarts * 946.352946, 0);
    expect(numberIn(reply, 'loads')).toBeGreaterThan(1);
    const dry = /oven|smoker/.test(options);
    const loadG = numberIn(reply, 'fatGEach') + (dry ? 0 : numberIn(reply, 'waterMlEach'));
    if (loadG > 10_000) expect(said(reply)).toContain('Do not lift it');
    else expect(dry || loadG < 10_000).toBe(true);
  });

  // USDA FSIS, Danger Zone: two hours out of the cold in all. Ground raw fat keeps as ground beef does, 1 to 2 days.
  it('cuts each load just before it is cooked, and leaves the rest in the cold', async () => {
    for (const line of [
      '/plan fat:"20 lb" method:slow-cooker vessel:"6 qt"',
      '/plan fat:"60 lb" vessel:"80 qt" burner-kind:"outdoor gas" burner:20kW',
      '/plan fat:"30 lb" vessel:"20 qt"',
    ])
      expect(said(await talk.ask(line))).toMatch(/alf an hour at a time: the rest stays in the refrigerator/);
    expect(said(await talk.ask('/plan fat:4lb'))).not.toContain('stays in the refrigerator');
  });

  // FoodKeeper's bacon grease, by analogy.
  it('ends with what to write on the lid and how long it keeps', async () => {
    for (const how of ['', 'method:oven', 'smoke:strong', 'vessel:"6 qt"'])
      expect(said(await talk.ask(`/plan fat:5lb ${how}`))).toMatch(
        /On the lid: .*date.*about 6 months, frozen 12/,
      );
  });

  it('speaks in the units asked for', async () => {
    const metric = said(await talk.ask('/plan fat:4lb unit:metric'));
    expect(metric).toContain('Cool to 21 °C. Within 2 hours of the end of the render');
    expect(metric).toContain('Cool on to 5 °C. Within 6 hours of the end of the render.');
    expect(metric).not.toContain('°F');
    expect(said(await talk.ask('/plan fat:4lb unit:us'))).not.toContain('°C');
  });

  it('says which of its options make no difference', async () => {
    const reply = await talk.ask('/plan fat:4lb price:0.3 burner-kind:gas method:slow-cooker');
    expect(said(reply)).toContain('burner-kind makes no difference: a slow cooker brings its own heat.');
    expect(said(reply)).toContain(
      'price makes no difference: a plan does not say what it costs, /water does.',
    );
    const used = await talk.ask('/plan fat:4lb burner:2kW burner-kind:gas lid:on fat-temperature:40F');
    expect(said(used)).not.toContain('no difference');
  });

  it('divides what the pot does not hold', async () => {
    const reply = await talk.ask('/plan fat:"20 lb" vessel:"12 qt"');
    expect(numberIn(reply, 'loads')).toBe(4);
    for (const load of ['Load 2', 'Load 3', 'Load 4']) expect(said(reply)).toContain(load);
    expect(said(reply)).toContain('load 1');
  });

  it('uses a kit and shows it to the cook who presses the button later', async () => {
    const cook = { as: 'Hyssop' };
    await talk.ask('/kit add vessel:cauldron capacity:"20 qt" burner:"3 kW" altitude:"5280 ft"', cook);
    const reply = await talk.ask('/plan tallow:"6 cups" by:"Saturday 6pm"', cook);
    expect(said(reply)).toContain('Your 20 qt');
    const id = reply.actions[0]?.id ?? '';
    expect(id.length).toBeLessThanOrEqual(100);
    const working = await talk.ask(`press:${id}`, { ...cook, now: '2026-12-24T18:00:00Z' });
    expect(working.audience).toBe('only you');
    expect(working.title).toBe(`The working: ${reply.title}`);
    expect(said(working)).toMatch(/^From the kit: .*Vessel cauldron, 20 qt/m);
  });

  it.each([
    ['', 'Say fat:'],
    ['fat:3lb tallow:3lb', 'Say fat:'],
    ['fat:3lb each:1tbsp', 'meals'],
    ['fat:60kg vessel:"150 qt" burner:900W by:"tonight"', 'stronger burner'],
    ['fat:5lb by:yesterday', 'past'],
    ['fat:5lb by:sometime', 'not a time'],
    ['fat:5lb by:"2030-01-01 10:00"', 'a year'],
    ['fat:5lb zone:Nowhere', 'time zone'],
    ['fat:5lb minutes:60', '2 h is the least'],
    ['fat:5lb altitude:"20 km"', '6000 m'],
    ['fat:5lb vessel:"10 ml"', '1 qt'],
    ['tallow:1kg lean:100%', '0 to 90'],
    ['tallow:400kg', '500 kg'],
    ['meals:0', 'whole number'],
  ])('refuses “%s” and stores nothing', async (options, words) => {
    const refusal = await talk.refuse(`/plan ${options}`, { community: 'nothing-here' });
    expect(refusal.text).toContain(words);
    expect(refusal.text).not.toContain('saved');
    const stored = await talk.db
      .selectFrom('communities')
      .select('community_id')
      .where('community_id', '=', 'nothing-here')
      .execute();
    expect(stored).toEqual([]);
  });
});
