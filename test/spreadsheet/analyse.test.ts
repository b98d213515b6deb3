import { execFileSync } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { printOutcome } from '../../src/console/print.js';
import { analyse } from '../../src/spreadsheet/analyse.js';
import { differences, isObject, type Json } from '../statistics/reference-differences.js';
import { readReferenceResults, SET_NAMES } from '../statistics/reference-sets.js';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-analyse-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

interface Said {
  readonly status: number;
  readonly text: string;
  readonly pictures: readonly string[];
  readonly notes: readonly string[];
}

async function run(
  file: string | readonly string[] | undefined,
  { json = false, skipBad = false } = {},
): Promise<Said> {
  let text = '';
  const pictures: string[] = [];
  const notes: string[] = [];
  const status = await analyse({
    files: file === undefined ? [] : [file].flat(),
    json,
    skipBad,
    write: (more) => {
      text += more;
    },
    note: (line) => notes.push(line),
    print: (reply) =>
      printOutcome(reply, async ({ name }) => {
        pictures.push(name);
        return name;
      }),
  });
  return { status, text, pictures, notes };
}

async function analysed(lines: readonly string[], options = {}): Promise<Said> {
  const file = join(folder, 'batches.csv');
  await writeFile(file, lines.join('\n'));
  return run(file, options);
}

const HEADER = 'member,method,cut,fat_g,minutes,tallow_g';
const GOOD = [
  'a,oven dry,ground,1000,180,480',
  'a,oven dry,ground,1500,200,700',
  'b,open pot wet,ground,1200,190,610',
  'b,oven dry,ground,1100,170,500',
  'c,open pot wet,cubed,2000,240,500',
  'c,open pot wet,ground,1300,210,640',
  'a,open pot wet,ground,900,150,450',
  'b,open pot wet,cubed,1000,160,260',
  'c,oven dry,ground,1250,205,590',
  'd,oven dry,cubed,1400,222,350',
  'd,open pot wet,ground,1600,175,800',
];

describe('analyse FILE --json agrees with R, key by key', () => {
  for (const set of SET_NAMES)
    it(`on ${set}`, async () => {
      const file = fileURLToPath(new URL(`../reference/stats/${set}.csv`, import.meta.url));
      const { status, text } = await run(file, { json: true });
      expect(status).toBe(0);
      const ours: { readonly [key: string]: Json } = JSON.parse(text);
      const expected = readReferenceResults<{ readonly [key: string]: Json }>(set);
      for (const key of [
        'batches',
        'members',
        'method_levels',
        'cut_levels',
        'mixed_model',
        'mixed_model_without_aliased_covariates',
        'outliers',
      ])
        expect([...differences(ours[key], expected[key] ?? null, [key])]).toEqual([]);
      const pooled = expected.pooled_yield;
      const own = ours.pooled_yield;
      if (!isObject(pooled) || !isObject(own)) throw new Error('expected a pooled yield');
      for (const key of ['ratio', 'mean'] as const) {
        const section = pooled[key];
        if (!isObject(section)) throw new Error(`expected ${key}`);
        const { estimate = null, cr2 = null } = section;
        expect([...differences(own[key], { estimate, cr2 }, [key])]).toEqual([]);
      }
    });
});

describe('analyse FILE', () => {
  it('says in words and pictures what a community would be told', async () => {
    const { status, text, pictures } = await analysed([HEADER, ...GOOD]);
    expect(status).toBe(0);
    expect(text).toContain('Pooled yield: ');
    expect(text).toContain('11 batches from 4 members');
    expect(text).toContain('Yield by method');
    expect(pictures).toContain('yield-by-method.png');
    expect(text).not.toMatch(/NaN|undefined|Infinity|This community/);
  });

  it('analyses nothing while a line is wrong, and names each with its number and reason', async () => {
    const lines = [HEADER, ...GOOD.slice(0, 3), 'a,oven dry,ground,4 lb,180,480', 'a,oven dry,,1000,180,-3'];
    const { status, text, pictures } = await analysed(lines);
    expect(status).toBe(1);
    expect(text).toContain('line 5: fat_g is “4 lb”; give a plain number');
    expect(text).toContain('line 6: cut is empty; tallow_g is -3');
    expect(text).toContain('Nothing was analysed');
    expect(text).not.toContain('Pooled yield');
    expect(pictures).toEqual([]);
    const json = JSON.parse((await analysed(lines, { json: true })).text);
    expect(json.ok).toBe(false);
    expect(json.wrong_lines.map(({ line }: { readonly line: number }) => line)).toEqual([5, 6]);
  });

  it('uses the good lines when told to, and says which it left out', async () => {
    const lines = [HEADER, ...GOOD, 'a,oven dry,ground,"1,250",180,480'];
    const { status, text } = await analysed(lines, { skipBad: true });
    expect(status).toBe(0);
    expect(text).toContain('11 batches from 4 members');
    expect(text).toContain('line 13: fat_g is “1,250”; write it without a thousands separator');
    const json = JSON.parse((await analysed(lines, { skipBad: true, json: true })).text);
    expect([json.batches, json.skipped]).toEqual([11, 1]);
  });

  it('names an odd batch by its number, or by its line where batches have no numbers of their own', async () => {
    const odd = [...GOOD, ...GOOD.map((line) => line.replace('180', '181')), 'b,oven dry,ground,1100,170,60'];
    const wrong = 'a,oven dry,ground,bad,180,480';
    const numbered = [wrong, ...odd].map((line, at) => `${at === 0 ? 105 : 100 + at},${line}`);
    const told = async (lines: readonly string[]) => {
      const { text } = await analysed(lines, { skipBad: true });
      const json = JSON.parse((await analysed(lines, { skipBad: true, json: true })).text);
      return { text, numbers: json.odd_batches.map(({ batch }: { readonly batch: number }) => batch) };
    };
    const byNumber = await told([`batch,${HEADER}`, ...numbered]);
    expect(byNumber.text).toContain('Batch 123 by b: 5.5 %');
    expect(byNumber.numbers).toContain(123);
    const byLine = await told([HEADER, wrong, ...odd]);
    expect(byLine.text).toContain('The batch on line 25 by b: 5.5 %');
    expect(byLine.numbers).toContain(25);
  });

  // A million lines: npm run bench -- spreadsheet
  it('takes many thousand lines of as many members, and says what it is doing meanwhile', async () => {
    const lines = Array.from({ length: 30_000 }, (_, at) =>
      at % 10_000 === 7
        ? 'a cook,oven dry,ground,much,180,480'
        : `cook ${at},oven dry,${at % 2 === 0 ? 'ground' : 'cubed'},${1000 + (at % 900)},${120 + (at % 200)},${400 + (at % 90)}`,
    );
    const { text, notes } = await analysed([HEADER, ...lines], { json: true, skipBad: true });
    const json = JSON.parse(text);
    expect(json).toMatchObject({ batches: 29_997, members: 29_997, skipped: 3 });
    expect(json.skipped_lines.map(({ line }: { readonly line: number }) => line)).toEqual([
      9, 10_009, 20_009,
    ]);
    expect(notes).toEqual(['Reading batches.csv…', 'Working out 29997 batches…']);
  });

  it('puts the names it knows first, in their order, and others after them in alphabetical order', async () => {
    const named = ['sous vide', 'Oven Dry', 'barrel', 'open pot wet'].flatMap((method, at) => [
      `a,${method},ground,${1000 + 100 * at},180,480`,
      `b,${method},whole,${1100 + 70 * at},${150 + at},490`,
    ]);
    const json = JSON.parse((await analysed([HEADER, ...named], { json: true })).text);
    expect(json.method_levels).toEqual(['open pot wet', 'oven dry', 'barrel', 'sous vide']);
    expect(json.cut_levels).toEqual(['ground', 'whole']);
  });

  it.each([
    ['one batch', GOOD.slice(0, 1)],
    ['one member', GOOD.slice(0, 2)],
    ['the same yield everywhere', [1, 2, 3, 4].map((kg) => `m${kg},oven dry,ground,${kg}000,180,${kg}00`)],
    ['a batch each', [1, 2, 3, 4].map((kg) => `m${kg},oven dry,ground,${kg}000,18${kg},${kg}0${kg}`)],
    ['no tallow at all', [1, 2, 3].map((kg) => `m,oven dry,ground,${kg}000,18${kg},0`)],
  ])('answers for %s', async (_what, lines) => {
    for (const json of [false, true]) {
      const { status, text } = await analysed([HEADER, ...lines], { json });
      expect(status).toBe(0);
      expect(text).not.toMatch(/NaN|undefined|Infinity/);
    }
  });

  it('analyses one file at a time, rather than pass over the second', async () => {
    const { status, text } = await run(['one.csv', 'two.csv']);
    expect(status).toBe(1);
    expect(text).toContain('One file at a time');
  });

  it('does not offer to use the other lines where there are none', async () => {
    const none = [HEADER, 'a,oven dry,ground,heavy,180,480'];
    expect((await analysed(none)).text).not.toContain('--skip-bad');
    expect((await analysed(none, { skipBad: true })).text).toContain('None of its lines can be used');
  });

  it.each([
    [
      'method',
      'Robin,NAME,ground',
      /The column method holds more than 50 .*“cook 0”.*swapped with member, which holds one\./,
    ],
    ['cut', 'NAME,oven dry,note NAME', /The column cut holds more than 50 .*It looks like some other column/],
  ])(
    'refuses at once a table whose column %s holds more words than anybody has',
    async (_column, start, words) => {
      const lines = Array.from(
        { length: 20_000 },
        (_, at) => `${start.replaceAll('NAME', `cook ${at}`)},1000,${100 + (at % 90)},480`,
      );
      for (const json of [false, true]) {
        const began = Date.now();
        const { status, text } = await analysed([HEADER, ...lines], { json });
        expect(Date.now() - began).toBeLessThan(3000);
        expect(status).toBe(1);
        expect(json ? JSON.parse(text).refusal.text : text).toMatch(words);
      }
    },
  );

  it('takes fifty methods, and the same in other letters is no other', async () => {
    const lines = Array.from(
      { length: 500 },
      (_, at) =>
        `cook ${at % 7},${at % 2 ? 'Way' : 'way'} ${at % 50},ground,1000,${100 + (at % 90)},${400 + (at % 90)}`,
    );
    const { status, text } = await analysed([HEADER, ...lines], { json: true });
    expect(status).toBe(0);
    expect(JSON.parse(text).method_levels).toHaveLength(50);
  });

  it.each([
    [[], false],
    [GOOD, false],
    [[], true],
  ])('stops reading once a thousand lines are wrong and the others of no use', async (good, skipBad) => {
    const lines = Array.from({ length: 300_000 }, () => 'a,oven dry,ground,heavy,180,480');
    const began = Date.now();
    const { status, text } = await analysed([HEADER, ...good, ...lines], { skipBad });
    expect(Date.now() - began).toBeLessThan(3000);
    expect(status).toBe(1);
    expect(text).toMatch(/^1000 lines of batches\.csv cannot be used, and the rest was not read\n/);
    expect(text.includes('--skip-bad')).toBe(good.length > 0);
    expect(text.match(/line \d+:/g)).toHaveLength(1000);
  });

  it('reads on past a thousand wrong lines to use the others when asked to', async () => {
    const lines = Array.from({ length: 1500 }, () => 'a,oven dry,ground,heavy,180,480');
    const { text } = await analysed([HEADER, GOOD[0] ?? '', ...lines, ...GOOD.slice(1)], {
      json: true,
      skipBad: true,
    });
    expect(JSON.parse(text)).toMatchObject({ batches: GOOD.length, skipped: 1500 });
  });

  it.skipIf(process.platform === 'win32')(
    'refuses a pipe or a device instead of waiting for it',
    async () => {
      const pipe = join(folder, 'pipe');
      execFileSync('mkfifo', [pipe]);
      for (const file of [pipe, '/dev/null', '/dev/zero']) {
        const { status, text } = await run(file);
        expect(status).toBe(1);
        expect(text).toContain('It is a pipe or a device.');
      }
    },
  );

  it('says once, not for each comparison, that there is nothing to compare', async () => {
    const { text } = await analysed([HEADER, ...GOOD.slice(0, 1)], {});
    expect(text.match(/Nothing to compare yet/g)).toHaveLength(1);
  });

  it.each([
    ['no name', undefined, 'Name a file'],
    ['a file that is not there', '/nowhere/at-all.csv', 'no such file'],
    ['a folder', tmpdir(), 'It is a folder'],
  ])('refuses %s with one message', async (_what, file, words) => {
    const { status, text } = await run(file);
    expect(status).toBe(1);
    expect(text).toContain(words);
    expect(text.trim().split('\n').length).toBeLessThanOrEqual(2);
  });
});
