import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BatchCsv, readBatchCsv } from '../../src/spreadsheet/batch-csv.js';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-csv-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

async function read(content: string | Buffer): Promise<BatchCsv> {
  const file = join(folder, 'batches.csv');
  await writeFile(file, content);
  return readBatchCsv(file);
}

async function good(content: string) {
  const csv = await read(content);
  if (!csv.ok) throw new Error(csv.problem);
  return csv;
}

const HEADER = 'member,method,cut,fat_g,minutes,tallow_g';
const LINE = 'Robin,oven dry,ground,1000,180,480';
const BATCH = {
  batch: 1,
  member: 'Robin',
  method: 'oven dry',
  cut: 'ground',
  fatG: 1000,
  minutes: 180,
  tallowG: 480,
};

describe('a list of batches as CSV', () => {
  it.each([
    ['plainly', `${HEADER}\n${LINE}\n`],
    ['without an end to its last line', `${HEADER}\n${LINE}`],
    ['with the line ends of another system', `${HEADER}\r\n${LINE}\r\n`],
    ['with a byte order mark', `\ufeff${HEADER}\n${LINE}\n`],
    ['with semicolons', `${HEADER}\n${LINE}\n`.replaceAll(',', ';')],
    ['with tabs', `${HEADER}\n${LINE}\n`.replaceAll(',', '\t')],
    ['with everything quoted', `${HEADER}\n${LINE}\n`.replace(/[^,\n]+/g, '"$&"')],
    [
      'in any order, among other columns',
      `note,${HEADER.split(',').reverse().join()}\nx,${LINE.split(',').reverse().join()}\n`,
    ],
    ['with other letters and spaces in its names', `Member,Method,CUT,Fat G, minutes ,Tallow-g\n${LINE}\n`],
    ['with blank lines', `\n${HEADER}\n\n${LINE}\n\n`],
    ['with empty cells at the end', `${HEADER}\n${LINE},,\n`],
  ])('is read %s', async (_how, content) => {
    expect((await good(content)).batches).toEqual([BATCH]);
  });

  it('may hold commas, quotation marks and line breaks inside a quoted note', async () => {
    const csv = await good(
      `note,${HEADER}\n"said ""hot"", then\nleft, at once",${LINE}\n,${LINE.replace('1000', 'x')}\n`,
    );
    expect(csv.batches).toEqual([BATCH]);
    // The note takes two lines of the file.
    expect(csv.wrong.map(({ line }) => line)).toEqual([4]);
  });

  it('may hold an inch mark inside a note that is not quoted', async () => {
    expect((await good(`note,${HEADER}\n12" pot,${LINE}\n`)).batches).toEqual([BATCH]);
  });

  it('numbers batches as their own column does, or as they come', async () => {
    const numbers = async (content: string) => (await good(content)).batches.map(({ batch }) => batch);
    expect(await numbers(`batch,${HEADER}\n17,${LINE}\n4,${LINE}\n`)).toEqual([17, 4]);
    expect(await numbers(`batch,${HEADER}\n17,${LINE}\n17,${LINE}\n`)).toEqual([1, 2]);
    expect(await numbers(`batch,${HEADER}\nlast one,${LINE}\n4,${LINE}\n`)).toEqual([1, 2]);
  });

  it.each([
    ['4 lb', 'give a plain number'],
    ['1.5kg', 'give a plain number'],
    ['"1,250"', 'without a thousands separator'],
    ['"1,250.5"', 'without a thousands separator'],
    ['1 250', 'without a thousands separator'],
    ["1'250", 'without a thousands separator'],
    ['"1.250,5"', 'without a thousands separator'],
    ['NaN', 'not a plain number'],
    ['Infinity', 'not a plain number'],
    ['1e999', 'too large'],
    ['0x10', 'give a plain number'],
    ['-5', 'more than nothing'],
    ['0', 'more than nothing'],
    ['', 'is empty'],
    ['"12,5"', 'not a plain number'],
  ])('has a wrong line where the fat is %s', async (cell, reason) => {
    const csv = await good(`${HEADER}\n${LINE}\n${LINE.replace('1000', cell)}\n`);
    expect(csv.batches.length).toBe(1);
    expect(csv.wrong).toEqual([{ line: 3, reason: expect.stringContaining(reason) }]);
    expect(csv.wrong[0]?.reason).toMatch(/^fat_g /);
  });

  it('takes a decimal comma only where commas part nothing, and never where it may be thousands', async () => {
    const semicolons = (fat: string) => `${HEADER}\n${LINE}\n`.replaceAll(',', ';').replace('1000', fat);
    expect((await good(semicolons('1000,5'))).batches[0]?.fatG).toBe(1000.5);
    expect((await good(semicolons('1,250'))).wrong[0]?.reason).toContain('thousands');
  });

  it('names lines with too few or too many cells', async () => {
    const csv = await good(`${HEADER}\na,b\n${LINE},more\n${LINE}\n`);
    expect(csv.wrong.map(({ line }) => line)).toEqual([2, 3]);
    expect(csv.batches.length).toBe(1);
  });

  it.each([
    ['nothing', '', 'It is empty'],
    ['only a byte order mark', '\ufeff', 'It is empty'],
    ['prose', 'Dear diary,\ntoday I rendered fat.\n', 'not a list of batches'],
    ['a missing column', `${HEADER.replace(',minutes', '')}\n`, 'A column is missing: minutes'],
    ['several missing columns', 'member,cut\n', 'Columns are missing: method, fat_g, minutes, tallow_g'],
    ['a column twice', `${HEADER},fat_g\n`, 'fat_g is there twice'],
    ['a quotation mark that is never closed', `${HEADER}\n${LINE}\n"Robin,oven\n`, 'never closed'],
  ])('is refused when it is %s', async (_what, content, words) => {
    const csv = await read(content);
    expect(csv.ok ? '' : csv.problem).toContain(words);
  });

  it('is refused when it is no text', async () => {
    const csv = await read(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3]));
    expect(csv.ok ? '' : csv.problem).toContain('not plain text');
  });

  it('is read or refused, never met with a fault, whatever it holds', async () => {
    const cell = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 12 }),
      fc.constantFrom('"', '\n', ';', '1,5', '480'),
    );
    const table = fc.array(fc.array(cell, { maxLength: 8 }), { maxLength: 6 });
    await fc.assert(
      fc.asyncProperty(table, fc.boolean(), async (rows, headed) => {
        const content = [...(headed ? [HEADER] : []), ...rows.map((row) => row.join(','))].join('\n');
        const csv = await read(content);
        if (!csv.ok) return;
        for (const { fatG, minutes, tallowG } of csv.batches) {
          expect(fatG > 0 && minutes > 0 && tallowG >= 0).toBe(true);
        }
      }),
      { numRuns: 150 },
    );
  });
});
