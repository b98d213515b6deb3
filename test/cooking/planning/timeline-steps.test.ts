import { describe, expect, it } from 'vitest';
import {
  type Batch,
  blocksOf,
  endOf,
  minutesUntilStrained,
  releaseMinutes,
  STEP_SOURCES,
  TIMELINE_ASSUMPTIONS,
} from '../../../src/cooking/planning/timeline-steps.js';
import { METHODS } from '../../../src/words/methods.js';

const batch = {
  fatG: 1000,
  frozen: false,
  cut: 'cubed',
  method: 'open-pot',
  loads: 2,
  waterMlEach: 1500,
  tallowG: 500,
  jars: 2,
  coolDownMinutes: 10,
  coolToJarMinutes: 8,
  heatUpMinutes: 30,
  renderMinutes: 120,
  coolFirstMinutes: 60,
  coolLastMinutes: 120,
  smokeMinutes: 0,
} as const satisfies Batch;

describe('the steps of a batch', () => {
  it('add up: cutting, heat-up, render, cooling down and straining of a load', () => {
    const { load, busyMinutes, leadMinutes, settledMinutes, finish } = blocksOf(batch);
    // Cubing 10 min and 8 a kg of 500 g; straining 10 min and 1 a kg of 500 g with 1,500 mL. Common practice, no source.
    expect(leadMinutes).toBe(14);
    expect(busyMinutes).toBe(14 + 30 + 120 + 10 + 12);
    expect(endOf(load)).toBe(busyMinutes + 120);
    expect(settledMinutes).toBe(busyMinutes + 120 + 8 * 60);
    // Lifting 20, re-melting 30 and 8 a kg, jars 10 and 1.5 each.
    expect(endOf(finish)).toBe(20 + 34 + 8 + 13);
  });

  it('take longer the more there is of it', () => {
    const large = blocksOf({ ...batch, fatG: 20_000, tallowG: 12_000, jars: 30, waterMlEach: 15_000 });
    const lasting = ({ load, finish }: typeof large, kind: string) =>
      [...load, ...finish].filter((step) => step.kind === kind).map(({ from, to }) => to - from)[0] ?? 0;
    for (const kind of ['cut', 'strain', 're-melt', 'jar'])
      expect(lasting(large, kind)).toBeGreaterThan(lasting(blocksOf(batch), kind));
  });

  it('let hot fat cool down before it is strained and before it is jarred, by every method', () => {
    for (const { value: method } of METHODS) {
      for (const smokeMinutes of [0, 120]) {
        for (const loads of [1, 3]) {
          const { load, finish } = blocksOf({ ...batch, method, smokeMinutes, loads });
          let isHot = false;
          for (const { kind } of [...load, ...finish]) {
            if (kind === 'render' || kind === 're-melt' || kind === 'smoke') isHot = true;
            if (kind === 'cool-down' || kind === 'cool-to-jar') isHot = false;
            if (kind === 'strain' || kind === 'jar')
              expect([method, kind, isHot]).toEqual([method, kind, false]);
          }
        }
      }
    }
  });

  it('let the pressure of every load fall before it is strained, for as long as it may take', () => {
    const pressure = { ...batch, method: 'pressure' } as const;
    // Common practice, no source: 20 to 40 minutes, and the longest is counted.
    expect(releaseMinutes('pressure')).toBe(40);
    expect(blocksOf(pressure).busyMinutes).toBe(40 + blocksOf(batch).busyMinutes);
    expect(minutesUntilStrained(pressure)).toBe(40 + minutesUntilStrained(batch));
  });

  it('need nobody beside a slow cooker, which is made to be left on', () => {
    const alone = blocksOf({ ...batch, method: 'slow-cooker' }).load.filter(({ handsOn }) => !handsOn);
    expect(alone.map(({ kind }) => kind)).toEqual(['heat-up', 'render', 'cool-last']);
  });

  it('are fewer when it is dry', () => {
    const dry = blocksOf({ ...batch, method: 'stovetop-dry' });
    expect(dry).toMatchObject({ cools: false, finish: [] });
    expect(dry.load.map(({ kind }) => kind).slice(-3)).toEqual(['cool-down', 'strain', 'jar']);
  });

  it('each rest on something, and the assumptions are sentences', () => {
    for (const { text } of TIMELINE_ASSUMPTIONS) expect(text).toMatch(/^[A-Z].*\.$/);
    for (const sources of Object.values(STEP_SOURCES)) expect(sources.length).toBeGreaterThan(0);
  });
});
