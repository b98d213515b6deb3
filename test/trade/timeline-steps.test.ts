import { describe, expect, it } from 'vitest';
import {
  type Batch,
  blocksOf,
  endOf,
  REASONS,
  TIMELINE_ASSUMPTIONS,
} from '../../src/trade/timeline-steps.js';

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

  it('are fewer when it is dry', () => {
    const dry = blocksOf({ ...batch, method: 'stovetop-dry' });
    expect(dry).toMatchObject({ cools: false, finish: [], finishMinutes: 0 });
  });

  it('each say why, in a sentence, and so do the assumptions', () => {
    for (const { text } of TIMELINE_ASSUMPTIONS) expect(text).toMatch(/^[A-Z].*\.$/);
    for (const { why } of Object.values(REASONS)) expect(why).toMatch(/^[A-Z].*\.$/);
  });
});
