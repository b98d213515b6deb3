import { describe, expect, it } from 'vitest';
import {
  type Batch,
  blocksOf,
  endOf,
  minutesUntilStrained,
  REASONS,
  TIMELINE_ASSUMPTIONS,
} from '../../../src/cooking/planning/timeline-steps.js';

const batch = {
  fatG: 1000,
  frozen: false,
  cut: 'cubed',
  method: 'open-pot',
  loads: 2,
  heatUpMinutes: 30,
  renderMinutes: 120,
  coolFirstMinutes: 60,
  coolLastMinutes: 120,
  smokeMinutes: 0,
} as const satisfies Batch;

describe('the steps of a batch', () => {
  it('add up: cutting, then heat-up, render and straining of each load', () => {
    const { cook, cookMinutes, settledMinutes } = blocksOf(batch);
    const lastStrain = cook.filter(({ kind }) => kind === 'strain').at(-1)?.to ?? 0;
    // Cubing 10 min and 8 a kg, then twice 30 + 120 + 15.
    expect(lastStrain).toBe(18 + 2 * 165);
    expect(cookMinutes).toBe(lastStrain + 60);
    expect(settledMinutes).toBe(lastStrain + 120 + 8 * 60);
    expect(endOf(cook)).toBe(lastStrain + 120);
  });

  it('let the pressure of every load fall before it is strained, for as long as it may take', () => {
    const { cook } = blocksOf({ ...batch, method: 'pressure' });
    const open = blocksOf(batch).cook;
    const lastOf = (steps: typeof cook) => steps.filter(({ kind }) => kind === 'strain').at(-1)?.to ?? 0;
    // Common practice, no source: 20 to 40 minutes, and the longest is counted.
    expect(lastOf(cook)).toBe(lastOf(open) + 2 * 40);
    expect(cook.filter(({ kind }) => kind === 'release').map(({ load }) => load)).toEqual([1, 2]);
    expect(minutesUntilStrained('pressure')).toBe(40 + minutesUntilStrained('open-pot'));
  });

  it('keep somebody there until it is cold when it is stirred', () => {
    const stirred = blocksOf({ ...batch, stirred: true });
    expect(stirred.cookMinutes).toBe(blocksOf(batch).cookMinutes + 60);
    expect(stirred.settledMinutes).toBe(blocksOf(batch).settledMinutes);
  });

  it('are fewer when it is dry', () => {
    const dry = blocksOf({ ...batch, method: 'stovetop-dry' });
    expect(dry).toMatchObject({ cools: false, finish: [], finishMinutes: 0 });
  });

  it('each say why, in a sentence, and so do the assumptions', () => {
    for (const { text } of TIMELINE_ASSUMPTIONS) expect(text).toMatch(/^[A-Z].*\.$/);
    for (const { why } of Object.values(REASONS)) expect(why).toMatch(/^[A-Z].*\.$/);
  });
});
