import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Which rooms each room may import from, besides itself, from the ground up. `src` are the files beside the rooms. */
const MAY_IMPORT: Readonly<Record<string, readonly string[] | 'everything'>> = {
  'src/words': [],
  'src/statistics': [],
  'src/chat': ['src/words'],
  'src/threads': [],
  'src/monitoring': [],
  migrations: [],
  'src/safety': ['src/words', 'src/chat'],
  'src/cooking': ['src/words', 'src/safety'],
  'src/records': ['src/words', 'src/chat', 'src/cooking', 'src/statistics', 'migrations'],
  'src/pictures': ['src/words', 'src/threads'],
  'src/findings': [
    'src/words',
    'src/chat',
    'src/safety',
    'src/cooking',
    'src/statistics',
    'src/records',
    'src/pictures',
  ],
  'src/kitchen': ['src/words', 'src/chat', 'src/safety', 'src/cooking', 'src/records', 'src/findings'],
  'src/batches': [
    'src/words',
    'src/chat',
    'src/safety',
    'src/cooking',
    'src/records',
    'src/findings',
    'src/kitchen',
  ],
  'src/tastings': [
    'src/words',
    'src/chat',
    'src/safety',
    'src/statistics',
    'src/records',
    'src/pictures',
    'src/batches',
  ],
  'src/deliveries': ['src/words', 'src/chat', 'src/records'],
  'src/weekly': [
    'src/words',
    'src/chat',
    'src/safety',
    'src/cooking',
    'src/statistics',
    'src/threads',
    'src/records',
    'src/pictures',
    'src/findings',
    'src/tastings',
    'src/deliveries',
  ],
  'src/spreadsheet': [
    'src/words',
    'src/chat',
    'src/cooking',
    'src/statistics',
    'src/records',
    'src/pictures',
    'src/findings',
    'src/kitchen',
    'src/batches',
  ],
  commands: [
    'src/words',
    'src/chat',
    'src/safety',
    'src/cooking',
    'src/records',
    'src/pictures',
    'src/findings',
    'src/kitchen',
    'src/batches',
    'src/tastings',
    'src/deliveries',
    'src/weekly',
  ],
  'src/discord': ['src/chat'],
  'src/console': ['src/chat'],
  src: 'everything',
};

/** Rooms that must be given time, randomness and files instead of reaching for them. */
const PURE = ['src/words', 'src/safety', 'src/cooking', 'src/statistics', 'src/chat'];
const REACHES_OUT = [
  /\bnew Date\(\)/,
  /\bDate\.now\(/,
  /\bMath\.random\(/,
  /\bprocess\./,
  /\bsetTimeout\(/,
  /from 'node:(?!util)/,
  /\bfetch\(/,
];

const files = ['src', 'commands', 'migrations'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => join(entry.parentPath, entry.name)),
);

function roomOf(file: string): string {
  const [top = '', second = '', ...rest] = relative(root, file).split(sep);
  return top === 'src' && rest.length > 0 ? `src/${second}` : top;
}

function importsOf(file: string): readonly string[] {
  const text = readFileSync(file, 'utf8');
  const specifiers = [...text.matchAll(/(?:\bfrom|\bimport|\bimport\()\s*['"]([^'"]+)['"]/g)].map(
    ([, name = '']) => name,
  );
  return specifiers.filter((name) => name.startsWith('.')).map((name) => resolve(dirname(file), name));
}

describe('the house', () => {
  it('has files to look at, each in a room that is on the plan', () => {
    expect(files.length).toBeGreaterThan(20);
    expect([...new Set(files.map(roomOf))].filter((room) => MAY_IMPORT[room] === undefined)).toEqual([]);
  });

  it('lets each room import only from the rooms below it', () => {
    const strays = files.flatMap((file) => {
      const room = roomOf(file);
      const allowed = MAY_IMPORT[room] ?? [];
      if (allowed === 'everything') return [];
      return importsOf(file)
        .map(roomOf)
        .filter((other) => other !== room && !allowed.includes(other))
        .map((other) => `${relative(root, file)} imports ${other}`);
    });
    expect(strays).toEqual([]);
  });

  it('lets main.ts alone know everybody', () => {
    const known = (file: string) => new Set(importsOf(file).map(roomOf));
    const besideRooms = files.filter((file) => roomOf(file) === 'src' && !file.endsWith('main.ts'));
    expect(besideRooms.filter((file) => [...known(file)].some((room) => room !== 'src'))).toEqual([]);
    expect([...known(join(root, 'src', 'main.ts'))]).toEqual(
      expect.arrayContaining(['commands', 'src/records', 'src/console', 'src/discord', 'src/deliveries']),
    );
  });

  it('gives time, randomness and files to the pure rooms instead of letting them reach out', () => {
    const reaching = files
      .filter((file) => PURE.includes(roomOf(file)))
      .flatMap((file) => {
        const text = readFileSync(file, 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');
        return REACHES_OUT.filter((pattern) => pattern.test(text)).map(
          (pattern) => `${relative(root, file)}: ${pattern}`,
        );
      });
    expect(reaching).toEqual([]);
  });

  it('writes raw SQL only in the records and migrations', () => {
    const raw = files.filter((file) => /\bsql[`<]/.test(readFileSync(file, 'utf8'))).map(roomOf);
    expect([...new Set(raw)].filter((room) => room !== 'src/records' && room !== 'migrations')).toEqual([]);
  });
});
