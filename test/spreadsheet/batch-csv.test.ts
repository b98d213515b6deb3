import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fatWeight, tallowWeight } from '../../src/kitchen/options.js';
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

async function problemOf(content: string | Buffer): Promise<string> {
  const csv = await read(content);
  return csv.ok ? 'none' : csv.problem;
}

async function good(content: string | Buffer) {
  const csv = await read(content);
  if (!csv.ok) throw new Error(csv.problem);
  return csv;
}

/** As files are read. */
const PIECE_BYTES = 65_536;

const HEADER = 'member,method,cut,fat_g,minutes,tallow_g';
const LINE = 'Robin,oven dry,ground,1000,180,480';
const BATCH = {
  // The line, where no column numbers batches.
  batch: 2,
  member: 'Robin',
  method: 'oven dry',
  cut: 'ground',
  fatG: 1000,
  minutes: 180,
  tallowG: 480,
};

describe('a list of batches as CSV', () => {
  it('is read below a line that names what parts its cells', async () => {
    const { batches } = await good(`sep=;\n${HEADER}\n${LINE}\n`.replaceAll(',', ';'));
    expect(batches).toEqual([{ ...BATCH, batch: 3 }]);
  });

  it.each([
    ['plainly', `${HEADER}\n${LINE}\n`],
    ['without an end to its last line', `${HEADER}\n${LINE}`],
    ['with the line ends of another system', `${HEADER}\r\n${LINE}\r\n`],
    ['with the line ends of an old system', `${HEADER}\r${LINE}\r`],
    ['with a byte order mark', `\ufeff${HEADER}\n${LINE}\n`],
    ['with semicolons', `${HEADER}\n${LINE}\n`.replaceAll(',', ';')],
    ['with tabs', `${HEADER}\n${LINE}\n`.replaceAll(',', '\t')],
    ['with everything quoted', `${HEADER}\n${LINE}\n`.replace(/[^,\n]+/g, '"$&"')],
    [
      'in any order, among other columns',
      `note,${HEADER.split(',').reverse().join()}\nx,${LINE.split(',').reverse().join()}\n`,
    ],
    ['with other letters and spaces in its names', `Member,Method,CUT,Fat G, minutes ,Tallow-g\n${LINE}\n`],
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

  it('may say of each batch what its fat was, as it would be typed', async () => {
    const { batches, wrong } = await good(
      `${HEADER},kind,lean\n${LINE},suet,\n${LINE},Trimmings,12.5 %\n${LINE},,\n${LINE},goat,120 %\n`,
    );
    expect(batches.map(({ facts }) => facts)).toEqual([
      { kind: 'suet' },
      { kind: 'trimmings', leanFraction: 0.125 },
      undefined,
    ]);
    expect(wrong).toMatchObject([{ line: 5 }]);
    expect(wrong[0]?.reason).toMatch(/^kind: “goat” is not one of trimmings, suet\.; lean: “120 %” is not/);
  });

  it('numbers batches as their own column does, or by their lines, and says which', async () => {
    const numbers = async (content: string) => {
      const { batches, numberedBy } = await good(content);
      return [numberedBy, ...batches.map(({ batch }) => batch)];
    };
    expect(await numbers(`batch,${HEADER}\n17,${LINE}\n4,${LINE}\n`)).toEqual(['column', 17, 4]);
    expect(await numbers(`batch,${HEADER}\n17,${LINE}\n\n17,${LINE}\n18,${LINE}\n`)).toEqual([
      'line',
      2,
      4,
      5,
    ]);
    expect(await numbers(`batch,${HEADER}\n3,${LINE}\nlast one,${LINE}\n4,${LINE}\n`)).toEqual([
      'line',
      2,
      3,
      4,
    ]);
    expect(await numbers(`${HEADER}\n\n${LINE}\n`)).toEqual(['line', 3]);
  });

  it('keeps its numbers where only a line that is left out repeats one, or has none', async () => {
    const wrong = LINE.replace('1000', 'much');
    const { batches, numberedBy } = await good(
      `batch,${HEADER}\n17,${wrong}\n17,${LINE}\n17,${wrong}\n,${wrong}\n18,${LINE}\n`,
    );
    expect(numberedBy).toBe('column');
    expect(batches.map(({ batch }) => batch)).toEqual([17, 18]);
  });

  it('passes over lines with nothing in any cell', async () => {
    const csv = await good(
      `\n ,,\n${HEADER}\n   \n,,,,,\n${LINE}\n , ,"",,,,,\n\n${LINE.replace('1000', 'x')}`,
    );
    expect(csv.batches).toEqual([{ ...BATCH, batch: 6 }]);
    expect(csv.wrong.map(({ line }) => line)).toEqual([9]);
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
    ['1e308', 'at most 500000 (500 kg)'],
    ['500000.5', 'at most 500000 (500 kg)'],
    ['1e-300', 'at least 0.001'],
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

  it('bounds weights and times as /batch log does', async () => {
    const fits = async (fat: string, minutes: string, tallow: string) =>
      (await good(`${HEADER}\na,oven dry,ground,${fat},${minutes},${tallow}\n`)).wrong.map(
        ({ reason }) => reason,
      );
    expect(await fits('500000', '10080', '500000')).toEqual([]);
    expect(await fits('500001', '10081', '500001')).toEqual([
      'fat_g is 500001; it must be at most 500000 (500 kg); minutes is 10081; it must be at most 10080 (7 days); tallow_g is 500001; it must be at most 500000 (500 kg)',
    ]);
    for (const weight of [fatWeight(true), tallowWeight(true)]) {
      expect(weight.parse('500000 g').ok).toBe(true);
      expect(weight.parse('500001 g').ok).toBe(false);
    }
  });

  describe.each([
    ['semicolons', ';'],
    ['tabs', '\t'],
  ])('with %s between its cells', (_what, delimiter) => {
    const withFat = (fat: string) =>
      good(`${HEADER}\n${LINE}\n`.replaceAll(',', delimiter).replace('1000', fat));

    it.each([
      ['1000,5', 1000.5],
      ['0,500', 0.5],
      ['0.500', 0.5],
      ['1.2345', 1.2345],
      ['1.25', 1.25],
      ['1234.567', 1234.567],
    ])('takes %s for %d', async (cell, fatG) => {
      expect((await withFat(cell)).batches[0]?.fatG).toBe(fatG);
    });

    it.each(['1,250', '1.234', '999.000', '1.234.567', '12.345,6'])(
      'refuses %s, which may be thousands',
      async (cell) => {
        const { batches, wrong } = await withFat(cell);
        expect(batches).toEqual([]);
        expect(wrong[0]?.reason).toContain('write it without a thousands separator');
      },
    );
  });

  it('takes 1.234 for little more than one where commas part the cells', async () => {
    expect((await good(`${HEADER}\n${LINE.replace('1000', '1.234')}\n`)).batches[0]?.fatG).toBe(1.234);
  });

  it('names its lines by the same numbers whatever ends them, in quoted cells too', async () => {
    const bad = LINE.replace('1000', 'much');
    const lines = [
      `note,"of`,
      `two",${HEADER}`,
      `"a`,
      `b`,
      `c",,${LINE}`,
      `"x`,
      `y",,${bad}`,
      '',
      `,,${LINE}`,
      `z,,${bad}`,
      ',,,,,,,',
      `,,${bad}`,
    ];
    const ends = fc.array(fc.constantFrom('\n', '\r\n', '\r'), {
      minLength: lines.length,
      maxLength: lines.length,
    });
    await fc.assert(
      fc.asyncProperty(ends, async (each) => {
        // A lone carriage return before a lone line feed is one line end of another system.
        const apart = each.map((end, at) => (end === '\n' && each[at - 1] === '\r' ? '\r\n' : end));
        const csv = await good(lines.map((line, at) => line + apart[at]).join(''));
        expect(csv.batches.map(({ batch }) => batch)).toEqual([3, 9]);
        expect(csv.wrong.map(({ line }) => line)).toEqual([6, 10, 12]);
      }),
      { numRuns: 60 },
    );
  });

  it.each([
    ['a line end', '\r\n', 1],
    ['a character', 'é', 1],
    ['a longer character', '🥩', 3],
  ])('is read whole where a piece of the file ends within %s', async (_what, border, before) => {
    const start = `note,${HEADER}\r\n"`;
    const padding = 'x'.repeat(PIECE_BYTES - Buffer.byteLength(start) - before);
    const csv = await good(`${start}${padding}${border}",${LINE}\r\n,${LINE.replace('1000', 'much')}\r\n`);
    const breaks = border === '\r\n' ? 1 : 0;
    expect(csv.batches).toEqual([BATCH]);
    expect(csv.wrong.map(({ line }) => line)).toEqual([3 + breaks]);
  });

  it('keeps each letter of its names, however many there are', async () => {
    const members = Array.from({ length: 9000 }, (_, at) => `${'Ä'.repeat(at % 7)}é–🥩${at}`);
    const csv = await good(`${HEADER}\n${members.map((name) => LINE.replace('Robin', name)).join('\n')}`);
    expect(csv.batches.map(({ member }) => member)).toEqual(members);
  });

  it('tells its delimiter without what is inside quotation marks', async () => {
    const head = HEADER.replaceAll(',', ';');
    const line = LINE.replaceAll(',', ';');
    for (const note of [
      '"notes, thoughts, views, a, b, c, d, e"',
      '"said ""a,b,c,d,e,f,g,h""\nand, then, left"',
    ])
      for (const content of [`${head};${note}\n${line};x\n`, `\ufeff${note};${head}\nx;${line}\n`])
        expect((await good(content)).batches.map(({ member }) => member)).toEqual(['Robin']);
  });

  it('names lines with too few or too many cells', async () => {
    const csv = await good(`${HEADER}\na,b\n${LINE},more\na\n${LINE}\n`);
    expect(csv.wrong).toEqual([
      { line: 2, reason: 'it has 2 cells, and the first line names 6 columns' },
      { line: 3, reason: 'it has 7 cells, and the first line names 6 columns' },
      { line: 4, reason: 'it has 1 cell, and the first line names 6 columns' },
    ]);
    expect(csv.batches.length).toBe(1);
  });

  it('does not take rows that a stray quotation mark runs together for one batch', async () => {
    const csv = await good(
      `${HEADER}\n"${LINE}\n${LINE}\n"Ash",${LINE.slice(6)}\n${LINE}\n${LINE}"\n${LINE.replace('oven dry', '"oven\ndry"')}\n"${LINE}\n"\n`,
    );
    expect(csv.batches.map(({ batch }) => batch)).toEqual([5, 7]);
    expect(csv.wrong).toEqual([
      { line: 2, reason: 'member goes on to another line, so a quotation mark in it is not closed' },
      { line: 6, reason: expect.stringContaining('tallow_g is “480"”') },
      {
        line: 9,
        reason: 'it has 1 cell, and the first line names 6 columns; quotation marks join lines 9 to 10',
      },
    ]);
  });

  it('is refused with the line of a quotation mark that is never closed', async () => {
    const rest = `${LINE}\n`.repeat(30);
    const never = (line: number) =>
      `The quotation mark opened on line ${line} is never closed, so what follows cannot be read.`;
    expect(await problemOf(`${HEADER}\n${LINE}\n"${LINE}\n${rest}`)).toBe(never(3));
    expect(await problemOf(`${HEADER}\r\n\r\n${LINE}\r\n\r\n"Ash\r\n12"" pot","oven dry\r\n${rest}`)).toBe(
      never(6),
    );
    expect(await problemOf(`"${HEADER}\n${rest}`)).toBe(never(1));
    expect(await problemOf(`${HEADER}\n${LINE}\n${'x\n'.repeat(49_999)}"${LINE}\n${rest}`)).toBe(
      never(50_002),
    );
  });

  it('is refused where a cell is too long, for what it is', async () => {
    const long = 'm'.repeat(1_100_000);
    expect(await problemOf(`${HEADER}\n${LINE}\n\n${long}${LINE}\n${LINE}\n`)).toBe(
      'Line 4 is longer than 1 MB, and no batch is.',
    );
    expect(await problemOf(`${HEADER}\n${LINE}\n"${`${LINE}\n`.repeat(30_000)}`)).toBe(
      'The quotation mark opened on line 3 is not closed within 1 MB, so what follows cannot be read.',
    );
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
    expect(await problemOf(content)).toContain(words);
  });

  it.each([
    ['no text', Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3]), 'It is not plain text.'],
    [
      'in an older encoding',
      Buffer.from(`${HEADER}\n${LINE.replace('Robin', 'José')}\n`, 'latin1'),
      'It is not in UTF-8.',
    ],
    [
      'in an older encoding far down',
      Buffer.from(`${HEADER}\n${`${LINE}\n`.repeat(5000)}José`, 'latin1'),
      'It is not in UTF-8.',
    ],
    [
      'cut off within a character',
      Buffer.from(`${HEADER}\n${LINE},é`).subarray(0, -1),
      'It is not in UTF-8.',
    ],
    ['in UTF-16', Buffer.from(`\ufeff${HEADER}\n${LINE}\n`, 'utf16le'), 'It is in UTF-16.'],
    [
      'in UTF-16 the other way round',
      Buffer.from(`\ufeff${HEADER}\n`, 'utf16le').swap16(),
      'It is in UTF-16.',
    ],
    ['in UTF-16 without a mark', Buffer.from(HEADER, 'utf16le'), 'It is not plain text.'],
  ])('is refused when it is %s', async (_what, bytes, words) => {
    expect(await problemOf(bytes)).toBe(`${words} Save the table as CSV, in UTF-8.`);
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
