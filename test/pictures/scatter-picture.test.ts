import { describe, expect, it } from 'vitest';
import { type ScatterPicture, scatterPicture } from '../../src/pictures/scatter-picture.js';

const picture: ScatterPicture = {
  title: 'Yield and time',
  caption: 'Dots: single batches.',
  axis: 'hours',
  marks: [
    { x: 2, yield: 0.4, fatG: 1000 },
    { x: 6, yield: 0.5, fatG: 4000, own: true },
  ],
  line: [
    { x: 2, mean: 0.42, low: 0.3, high: 0.5 },
    { x: 6, mean: 0.47, low: 0.4, high: 0.6 },
  ],
};

/** Width and height stand in the first chunk of a PNG (ISO/IEC 15948, 11.2.2 IHDR). */
function sizeOf(png: Uint8Array): readonly number[] {
  const view = new DataView(png.buffer, png.byteOffset);
  return [view.getUint32(16), view.getUint32(20)];
}

describe('the picture of yields against something else', () => {
  it('is a PNG at twice the drawn size, for hours, weights and days', async () => {
    for (const axis of ['hours', 'weight', 'day'] as const) {
      const scale = axis === 'day' ? 86_400_000 : axis === 'weight' ? 500 : 1;
      const marks = picture.marks.map((mark) => ({ ...mark, x: mark.x * scale }));
      const line = picture.line.map((point) => ({ ...point, x: point.x * scale }));
      const png = await scatterPicture({ ...picture, axis, marks, line });
      expect([...png.subarray(0, 4)]).toEqual([0x89, 0x50, 0x4e, 0x47]);
      expect(sizeOf(png)).toEqual([1312, 860]);
    }
  });

  it('changes with what it shows', async () => {
    const [whole, withoutBand, withoutOwn] = await Promise.all([
      scatterPicture(picture),
      scatterPicture({ ...picture, line: picture.line.map(({ x, mean }) => ({ x, mean })) }),
      scatterPicture({ ...picture, marks: picture.marks.slice(0, 1) }),
    ]);
    expect(Buffer.from(whole).equals(Buffer.from(withoutBand))).toBe(false);
    expect(Buffer.from(whole).equals(Buffer.from(withoutOwn))).toBe(false);
  });

  it('has a line right across at a level, though all is of one day', async () => {
    const day = Date.parse('2026-11-25T18:00:00Z');
    const onOneDay: ScatterPicture = {
      ...picture,
      axis: 'day',
      marks: picture.marks.map((mark) => ({ ...mark, x: day })),
      line: [],
    };
    const [without, at45, at47] = await Promise.all([
      scatterPicture(onOneDay),
      scatterPicture({ ...onOneDay, level: 0.45 }),
      scatterPicture({ ...onOneDay, level: 0.47 }),
    ]);
    expect(Buffer.from(at47).equals(Buffer.from(without))).toBe(false);
    expect(Buffer.from(at47).equals(Buffer.from(at45))).toBe(false);
  });

  it('can be drawn of nothing, of one batch, and of a band that leaves the paper', async () => {
    for (const part of [
      { marks: [], line: [] },
      { marks: picture.marks.slice(0, 1), line: [] },
      { line: picture.line.map((point) => ({ ...point, low: -5, high: 7 })) },
    ]) {
      expect((await scatterPicture({ ...picture, ...part })).length).toBeGreaterThan(1000);
    }
  });
});
