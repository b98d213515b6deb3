import { afterAll, describe, expect, it } from 'vitest';
import { drawnHere, startDrawer } from '../../src/pictures/pictures.js';
import type { ScatterPicture } from '../../src/pictures/scatter-picture.js';
import type { YieldsPicture } from '../../src/pictures/yields-picture.js';

const batches = Array.from({ length: 60 }, (_, at) => ({
  yield: 0.35 + (at % 9) * 0.02,
  fatG: 800 + 90 * at,
}));
const yields: YieldsPicture = {
  title: 'Yield by method',
  caption: '60 batches',
  rows: [{ label: 'Oven, dry', note: '60 batches, 9 cooks', mean: 0.44, low: 0.41, high: 0.47, batches }],
};
const scatter: ScatterPicture = {
  title: 'Yield by starting weight',
  caption: '60 batches',
  axis: 'weight',
  marks: batches.map((batch) => ({ ...batch, x: batch.fatG })),
  line: [],
};

// Here the thread starts from its source, which takes long on a busy machine.
const drawer = startDrawer(new URL('../support/drawing-worker.mjs', import.meta.url), 100_000);
afterAll(() => drawer.stop());

describe('the thread that draws pictures', () => {
  it('draws the very pictures that would be drawn here', async () => {
    expect(await drawer.yields(yields)).toEqual(await drawnHere.yields(yields));
    expect(await drawer.scatter(scatter)).toEqual(await drawnHere.scatter(scatter));
  });

  it('says so when a picture could not be drawn, and draws the next', async () => {
    await expect(drawer.scatter({ ...scatter, axis: 'day', zone: 'Nowhere/At all' })).rejects.toThrow();
    expect((await drawer.yields(yields)).length).toBeGreaterThan(1000);
  });

  it('is started again after it ended', async () => {
    await drawer.stop();
    expect((await drawer.yields(yields)).length).toBeGreaterThan(1000);
  });

  it('leaves this thread free meanwhile', async () => {
    let longestMs = 0;
    let last = performance.now();
    const watch = setInterval(() => {
      longestMs = Math.max(longestMs, performance.now() - last);
      last = performance.now();
    }, 2);
    const started = performance.now();
    await Promise.all(Array.from({ length: 20 }, () => drawer.yields(yields)));
    clearInterval(watch);
    expect(longestMs).toBeLessThan((performance.now() - started) / 4);
  });
});
