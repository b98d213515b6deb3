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
  waterMlEach: 7500,
  tallowG: 2700,
  jars: 7,
  coolDownMinutes: 12,
  coolToJarMinutes: 15,
  heatUpMinutes: 35,
  renderMinutes: 180,
  coolFirstMinutes: 55,
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
  waterMlEach: fc.integer({ min: 0, max: 10_000 }),
  tallowG: fc.integer({ min: 50, max: 15_000 }),
  jars: fc.integer({ min: 1, max: 40 }),
  coolDownMinutes: fc.integer({ min: 1, max: 40 }),
  coolToJarMinutes: fc.integer({ min: 0, max: 40 }),
  quietIfNeeded: fc.boolean(),
  onIce: fc.boolean(),
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
      'cool-down',
      'strain',
      'cool-first',
      'cool-last',
      'set',
      'lift',
      're-melt',
      'cool-to-jar',
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
    expect(kinds(made({ ...batch, smokeMinutes: 120 })).slice(-4)).toEqual([
      're-melt',
      'smoke',
      'cool-to-jar',
      'jar',
    ]);
  });

  it('needs neither two-stage cooling nor a disc when it is dry', () => {
    expect(kinds(made({ ...batch, method: 'oven' }))).toEqual([
      'cut',
      'heat-up',
      'render',
      'cool-down',
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
    const answer = made({ ...batch, method: 'pressure', loads: 3, coolFirstMinutes: 40 });
    for (let load = 1; load <= 3; load++) {
      const own = answer.steps.filter((step) => step.load === load);
      expect(own.map(({ kind }) => kind)).toEqual([
        'cut',
        'heat-up',
        'render',
        'release',
        'cool-down',
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
      made({ ...batch, method, loads: 3, coolFirstMinutes: 40, byMs }),
    );
    expect((open?.startMs ?? 0) - (closed?.startMs ?? 0)).toBe(3 * 40 * MINUTE);
  });

  it('counts the fall of the pressure and the cooling down in the time to cool', () => {
    expect(timelineOf(batch).ok).toBe(true);
    expect(timelineOf({ ...batch, method: 'pressure' })).toMatchObject({
      problem: 'cools-too-slowly',
      // Straining takes 10 min and 1 for each kg: 4,536 g and 7,500 mL.
      firstMinutes: 55 + 10 + 4.536 + 7.5 + 12 + 40,
    });
  });

  it('puts loads that do not fit into one day on several, each cut just before it is cooked', () => {
    const { steps } = made({ ...batch, loads: 4, renderMinutes: 300, quiet: nights });
    expect(steps.some(({ inQuietHours }) => inQuietHours)).toBe(false);
    for (let load = 1; load <= 4; load++) {
      const [cut, heat] = (['cut', 'heat-up'] as const).map((kind) =>
        steps.find((s) => s.load === load && s.kind === kind),
      );
      expect(cut?.endMs).toBe(heat?.startMs);
    }
    const days = new Set(byLoad(steps, 'render').map(({ startMs }) => new Date(startMs).getUTCDate()));
    expect(days.size).toBeGreaterThan(1);
  });

  it('refuses a stretch of work that no day holds, unless somebody will be awake', () => {
    const long = { ...batch, renderMinutes: 24 * 60, quiet: nights };
    expect(timelineOf(long)).toMatchObject({ ok: false, problem: 'in-quiet-hours' });
    const { steps } = made({ ...long, quietIfNeeded: true });
    expect(steps.filter(({ inQuietHours }) => inQuietHours).map(({ kind }) => kind)).toContain('render');
    // Nobody stands by a slow cooker.
    expect(timelineOf({ ...long, method: 'slow-cooker' }).ok).toBe(true);
  });

  it('begins to thaw now, or in the evening, never at night', () => {
    for (let hour = 0; hour < 24; hour++) {
      const asleepMs = now + hour * HOUR;
      const forwards = made({ ...batch, frozen: true, nowMs: asleepMs, quiet: nights });
      expect(forwards.steps[0]).toMatchObject({ kind: 'thaw', startMs: asleepMs });
      const backwards = made({ ...batch, frozen: true, byMs: now + 6 * DAY + hour * HOUR, quiet: nights });
      const clock = new Date(backwards.startMs).getUTCHours();
      expect(clock).toBeGreaterThanOrEqual(7);
      expect(clock).toBeLessThanOrEqual(22);
    }
  });

  it('has nobody renewing ice at night', () => {
    for (let hour = 1; hour <= 24; hour++) {
      const byMs = Date.UTC(2025, 10, 8, hour);
      const { steps } = made({ ...batch, byMs, onIce: true, quiet: nights });
      expect(byLoad(steps, 'cool-last')[0]).toMatchObject({ handsOn: true, inQuietHours: false });
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

  it('refuses what cannot be ready, with the earliest finish that can', () => {
    const answer = timelineOf({ ...batch, byMs: now + 6 * HOUR });
    if (answer.ok || answer.problem !== 'cannot-be-met') throw new Error('expected a refusal');
    expect(made({ ...batch, byMs: answer.earliestFinishMs }).startMs).toBe(now);
    expect(timelineOf({ ...batch, byMs: answer.earliestFinishMs - 1 }).ok).toBe(false);
  });

  // FDA Food Code 3-501.14(A): 70 °F within 2 hours, 41 °F within 6 in all.
  it('refuses a way of cooling that breaks the Food Code', () => {
    expect(timelineOf({ ...batch, coolFirstMinutes: 100 })).toMatchObject({
      ok: false,
      problem: 'cools-too-slowly',
      mostFirstMinutes: 120,
    });
    expect(timelineOf({ ...batch, coolLastMinutes: 340 })).toMatchObject({
      ok: false,
      problem: 'cools-too-slowly',
      mostLastMinutes: 360,
    });
  });

  it('never breaks the Food Code, renders at least two hours, and gives every step a source', () => {
    fc.assert(
      fc.property(request, (any) => {
        const answer = timelineOf(any);
        if (!answer.ok) return;
        const { steps } = answer;
        const renderEnd = new Map(byLoad(steps, 'render').map(({ load, endMs }) => [load, endMs]));
        for (const step of steps) {
          expect(step.endMs).toBeGreaterThanOrEqual(step.startMs);
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
        if (any.quietIfNeeded !== true)
          expect(answer.steps.some(({ inQuietHours }) => inQuietHours)).toBe(false);
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
