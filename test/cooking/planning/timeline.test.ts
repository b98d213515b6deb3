import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Step,
  type Timeline,
  type TimelineRequest,
  timelineOf,
} from '../../../src/cooking/planning/timeline.js';
import { CUTS, METHODS, moistureOf } from '../../../src/words/methods.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const now = Date.UTC(2025, 10, 3, 12);
/** 22:00 to 07:00 of the coming weeks. */
const nights = Array.from({ length: 20 }, (_, day) => ({
  fromMs: Date.UTC(2025, 10, 3 + day, 22),
  toMs: Date.UTC(2025, 10, 4 + day, 7),
}));

const batch = {
  fatG: 4536,
  frozen: false,
  cut: 'ground',
  method: 'open-pot',
  loads: 1,
  heatUpMinutes: 35,
  renderMinutes: 180,
  coolFirstMinutes: 75,
  coolLastMinutes: 150,
  smokeMinutes: 0,
  nowMs: now,
} as const satisfies TimelineRequest;

const request: fc.Arbitrary<TimelineRequest> = fc.record({
  fatG: fc.integer({ min: 200, max: 30_000 }),
  frozen: fc.boolean(),
  cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
  method: fc.constantFrom(...METHODS.map(({ value }) => value)),
  dry: fc.boolean(),
  stirred: fc.boolean(),
  loads: fc.integer({ min: 1, max: 5 }),
  heatUpMinutes: fc.integer({ min: 0, max: 200 }),
  renderMinutes: fc.integer({ min: 120, max: 720 }),
  coolFirstMinutes: fc.integer({ min: 10, max: 105 }),
  coolLastMinutes: fc.integer({ min: 105, max: 345 }),
  smokeMinutes: fc.constantFrom(0, 120, 360),
  nowMs: fc.constant(now),
  byMs: fc.option(fc.integer({ min: now, max: now + 10 * DAY }), { nil: undefined }),
  quiet: fc.constantFrom(undefined, nights),
});

function made(any: TimelineRequest): Timeline {
  const answer = timelineOf(any);
  if (!answer.ok) throw new Error(answer.problem);
  return answer;
}

const kinds = ({ steps }: Timeline) => steps.map(({ kind }) => kind);
const byLoad = (steps: readonly Step[], kind: Step['kind']) => steps.filter((step) => step.kind === kind);

describe('the timeline of a batch', () => {
  it('goes from cutting to jars in order', () => {
    expect(kinds(made(batch))).toEqual([
      'cut',
      'heat-up',
      'render',
      'strain',
      'cool-first',
      'cool-last',
      'set',
      'lift',
      're-melt',
      'jar',
    ]);
  });

  it('thaws first what is frozen, about a day for each 4 to 5 lb of a pack (USDA FSIS, from memory)', () => {
    const { steps, startMs } = made({ ...batch, frozen: true });
    expect(steps[0]).toMatchObject({ kind: 'thaw', startMs: now });
    expect(startMs).toBe(now);
    const hours = ((steps[0]?.endMs ?? 0) - now) / HOUR;
    expect(hours).toBe(48);
    const small = made({ ...batch, fatG: 2041, frozen: true }).steps[0];
    expect(((small?.endMs ?? 0) - now) / HOUR).toBeCloseTo(24, 0);
  });

  it('smokes between re-melting and the jar', () => {
    expect(kinds(made({ ...batch, smokeMinutes: 120 })).slice(-3)).toEqual(['re-melt', 'smoke', 'jar']);
  });

  it('needs neither two-stage cooling nor a disc when it is dry', () => {
    expect(kinds(made({ ...batch, method: 'oven' }))).toEqual([
      'cut',
      'heat-up',
      'render',
      'strain',
      'jar',
      'set',
    ]);
    expect(kinds(made({ ...batch, method: 'slow-cooker', dry: true }))).not.toContain('cool-first');
    expect(kinds(made({ ...batch, method: 'slow-cooker' }))).toContain('cool-first');
  });

  it('cools each load as soon as it is strained, while the next one cooks', () => {
    const { steps } = made({ ...batch, loads: 3 });
    expect(byLoad(steps, 'render')).toHaveLength(3);
    const second = byLoad(steps, 'render')[1];
    const firstCooling = byLoad(steps, 'cool-first')[0];
    expect(firstCooling?.startMs).toBeLessThan(second?.endMs ?? 0);
  });

  it('opens a pressure cooker only once its pressure has fallen, within the time to cool', () => {
    const answer = made({ ...batch, method: 'pressure', loads: 3, coolFirstMinutes: 60 });
    for (let load = 1; load <= 3; load++) {
      const own = answer.steps.filter((step) => step.load === load);
      expect(own.map(({ kind }) => kind)).toEqual([
        'heat-up',
        'render',
        'release',
        'strain',
        'cool-first',
        'cool-last',
      ]);
      const [render, strain, cool] = (['render', 'strain', 'cool-first'] as const).map((kind) =>
        own.find((step) => step.kind === kind),
      );
      expect((strain?.startMs ?? 0) - (render?.endMs ?? 0)).toBeGreaterThanOrEqual(20 * MINUTE);
      expect(cool?.byMs).toBe((render?.endMs ?? 0) + 2 * HOUR);
    }
    const byMs = now + 4 * DAY;
    const [closed, open] = (['pressure', 'open-pot'] as const).map((method) =>
      made({ ...batch, method, loads: 3, coolFirstMinutes: 60, byMs }),
    );
    expect((open?.startMs ?? 0) - (closed?.startMs ?? 0)).toBe(3 * 40 * MINUTE);
  });

  it('counts the fall of the pressure in the time to cool', () => {
    const cooling = { ...batch, coolFirstMinutes: 75 };
    expect(timelineOf(cooling).ok).toBe(true);
    expect(timelineOf({ ...cooling, method: 'pressure' })).toMatchObject({
      problem: 'cools-too-slowly',
      firstMinutes: 75 + 15 + 40,
    });
  });

  it('has nobody stirring in the night when starting earlier helps', () => {
    for (let hour = 1; hour <= 24; hour++) {
      const byMs = Date.UTC(2025, 10, 8, hour);
      const { steps } = made({ ...batch, byMs, stirred: true, quiet: nights });
      const cold = byLoad(steps, 'cool-last')[0];
      expect(cold).toMatchObject({ handsOn: true, inQuietHours: false });
      expect(new Date(cold?.endMs ?? 0).getUTCHours() * 60).toBeLessThanOrEqual(22 * 60);
    }
  });

  it('leaves only the last stirring to the night when the day is too short for more', () => {
    // Cutting to 70 °F takes 14 h 40 min, of the 15 h between two nights; another 1 h 15 min of stirring does not fit.
    const long = { ...batch, loads: 3, heatUpMinutes: 40, renderMinutes: 190, coolFirstMinutes: 88 };
    for (const when of [{}, { byMs: now + 5 * DAY }]) {
      const { steps } = made({ ...long, coolLastMinutes: 163, stirred: true, quiet: nights, ...when });
      const night = steps.filter(({ inQuietHours }) => inQuietHours);
      expect(night.map(({ kind, load }) => [kind, load])).toEqual([['cool-last', 3]]);
    }
  });

  it('ends when it must be ready', () => {
    const byMs = now + 4 * DAY;
    const { finishMs, steps } = made({ ...batch, byMs });
    expect(finishMs).toBe(byMs);
    expect(steps.at(-1)).toMatchObject({ kind: 'jar', endMs: byMs });
  });

  it('leaves the nights alone and lets the disc wait in the cold instead', () => {
    const byMs = Date.UTC(2025, 10, 8, 18);
    const { steps } = made({ ...batch, byMs, quiet: nights });
    expect(steps.some(({ inQuietHours }) => inQuietHours)).toBe(false);
    expect(byLoad(steps, 'strain')[0]?.endMs).toBeLessThanOrEqual(Date.UTC(2025, 10, 7, 22));
  });

  it('says so when it has to take the night', () => {
    const { steps } = made({ ...batch, loads: 4, renderMinutes: 300, quiet: nights });
    expect(steps.some(({ inQuietHours }) => inQuietHours)).toBe(true);
  });

  it('refuses what cannot be ready, with the earliest finish that can', () => {
    const answer = timelineOf({ ...batch, byMs: now + 6 * HOUR });
    if (answer.ok || answer.problem !== 'cannot-be-met') throw new Error('expected a refusal');
    expect(made({ ...batch, byMs: answer.earliestFinishMs }).startMs).toBe(now);
    expect(timelineOf({ ...batch, byMs: answer.earliestFinishMs - 1 }).ok).toBe(false);
  });

  // FDA Food Code 3-501.14(A): 70 °F within 2 hours, 41 °F within 6 in all.
  it('refuses a way of cooling that breaks the Food Code', () => {
    expect(timelineOf({ ...batch, coolFirstMinutes: 110 })).toMatchObject({
      ok: false,
      problem: 'cools-too-slowly',
      mostFirstMinutes: 120,
    });
    expect(timelineOf({ ...batch, coolLastMinutes: 350 })).toMatchObject({
      ok: false,
      problem: 'cools-too-slowly',
      mostLastMinutes: 360,
    });
  });

  it('never breaks the Food Code, renders at least two hours, and gives every step a reason and a source', () => {
    fc.assert(
      fc.property(request, (any) => {
        const answer = timelineOf(any);
        if (!answer.ok) return;
        const { steps } = answer;
        const renderEnd = new Map(byLoad(steps, 'render').map(({ load, endMs }) => [load, endMs]));
        for (const step of steps) {
          expect(step.endMs).toBeGreaterThanOrEqual(step.startMs);
          expect(step.why).not.toBe('');
          expect(step.sources.length).toBeGreaterThan(0);
          const since = step.endMs - (renderEnd.get(step.load) ?? 0);
          if (step.kind === 'strain' && any.method === 'pressure')
            expect(step.startMs - (renderEnd.get(step.load) ?? 0)).toBeGreaterThanOrEqual(20 * MINUTE);
          if (step.kind === 'cool-first') expect(since).toBeLessThanOrEqual(2 * HOUR);
          if (step.kind === 'cool-last') expect(since).toBeLessThanOrEqual(6 * HOUR);
          if (step.byMs !== undefined) expect(step.endMs).toBeLessThanOrEqual(step.byMs);
          if (step.kind === 'render') expect(step.endMs - step.startMs).toBeGreaterThanOrEqual(2 * HOUR);
        }
        const wet = moistureOf(any.method) === 'wet' || (any.method === 'slow-cooker' && !any.dry);
        expect(byLoad(steps, 'cool-first')).toHaveLength(wet ? any.loads : 0);
        expect(byLoad(steps, 'render')).toHaveLength(any.loads);
      }),
    );
  });

  it('begins no earlier than now and ends no later than asked, one step of each load after the other', () => {
    fc.assert(
      fc.property(request, (any) => {
        const answer = timelineOf(any);
        if (!answer.ok) {
          if (answer.problem === 'cannot-be-met') {
            const again = made({ ...any, byMs: answer.earliestFinishMs });
            expect(again.finishMs).toBeLessThanOrEqual(answer.earliestFinishMs);
          }
          return;
        }
        expect(answer.startMs).toBeGreaterThanOrEqual(now);
        expect(answer.startMs).toBe(Math.min(...answer.steps.map(({ startMs }) => startMs)));
        if (any.byMs !== undefined) expect(answer.finishMs).toBeLessThanOrEqual(any.byMs);
        for (let load = 1; load <= any.loads; load++) {
          const own = answer.steps.filter((step) => step.load === load);
          for (const [index, step] of own.entries())
            if (index > 0) expect(step.startMs).toBe(own[index - 1]?.endMs);
        }
        const set = byLoad(answer.steps, 'set')[0];
        expect((set?.endMs ?? 0) - (set?.startMs ?? 0)).toBeGreaterThanOrEqual(4 * HOUR);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => timelineOf({ ...batch, loads: 0 })).toThrow(/loads/);
    expect(() => timelineOf({ ...batch, renderMinutes: 60 })).toThrow(/renderMinutes must be 120 or more/);
    expect(() => timelineOf({ ...batch, coolLastMinutes: 10 })).toThrow(/coolLastMinutes/);
    expect(() => timelineOf({ ...batch, nowMs: Number.NaN })).toThrow(/nowMs/);
    expect(() => timelineOf({ ...batch, fatG: -1 })).toThrow(/fatG/);
  });
});
