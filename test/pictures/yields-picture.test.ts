import { describe, expect, it } from 'vitest';
import { type YieldsPicture, yieldsPicture } from '../../src/pictures/yields-picture.js';

const many = Array.from({ length: 40 }, (_, at) => ({ yield: 0.35 + (at % 9) * 0.02, fatG: 800 + 90 * at }));

const picture: YieldsPicture = {
  title: 'Yield by method',
  caption: '40 batches, 12 members; starting weight, time, cut and cook allowed for.',
  rows: [
    {
      label: 'Open pot, wet',
      note: '40 batches, 12 cooks',
      mean: 0.44,
      low: 0.41,
      high: 0.47,
      batches: many,
    },
    {
      label: 'Pressure cooker, wet',
      note: '2 batches, 1 cook',
      mean: undefined,
      low: undefined,
      high: undefined,
      batches: many.slice(0, 2),
    },
  ],
};

/** Width and height stand in the first chunk of a PNG (ISO/IEC 15948, 11.2.2 IHDR). */
function sizeOf(png: Uint8Array): readonly number[] {
  const view = new DataView(png.buffer, png.byteOffset);
  return [view.getUint32(16), view.getUint32(20)];
}

describe('the picture of yields', () => {
  it('is a PNG at twice the drawn size, taller with every row', async () => {
    const png = await yieldsPicture(picture);
    expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    expect(sizeOf(png)).toEqual([1312, 2 * (62 + 66 + 2 * 64)]);
    const taller = await yieldsPicture({ ...picture, rows: [...picture.rows, ...picture.rows] });
    expect(sizeOf(taller)[1]).toBe(2 * (62 + 66 + 4 * 64));
  });

  it('is the same every time', async () => {
    const [first, second] = [await yieldsPicture(picture), await yieldsPicture(picture)];
    expect(Buffer.from(first).equals(Buffer.from(second))).toBe(true);
  });

  it('can be drawn of nothing, of one batch, and of intervals that leave the paper', async () => {
    for (const rows of [
      [],
      [
        {
          label: 'Oven, dry',
          note: '1 batch',
          mean: 0.5,
          low: -3,
          high: 4,
          batches: [{ yield: 0.5, fatG: 500_000 }],
        },
      ],
    ]) {
      expect((await yieldsPicture({ ...picture, rows })).length).toBeGreaterThan(1000);
    }
  });
});
