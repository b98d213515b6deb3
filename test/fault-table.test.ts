import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const table = readFileSync(new URL('../docs/faults.md', import.meta.url), 'utf8');

/** Rows below the line that parts them from the names of their columns; `|` inside a cell has no space on both sides. */
const rows = table
  .split('\n')
  .filter((line) => line.startsWith('| ') && !/^\| (---|what happens) \|/.test(line))
  .map((line) => line.replace(/^\| | \|$/g, '').split(' | '));

const REFERENCE = /^`([\w/-]+\.test\.ts)` “(.+)”$/;
const referencesIn = (cell: string) =>
  cell.split('; `').map((one, at) => REFERENCE.exec(at > 0 ? `\`${one}` : one));

/** What a text in quotation marks says in a source file. */
const QUOTED = /(['"`])((?:\\.|(?!\1)[\s\S])*?)\1/.source;
/** The name of a test, and the first cell of a row of cases, which names the case. */
const NAMES = new RegExp(
  String.raw`(?:\)|\b(?:it|test)(?:\.\w+)*)\(\s*${QUOTED}|\[\s*${QUOTED.replaceAll('\\1', '\\3')}`,
  'g',
);

const namesIn = (source: string) =>
  [...source.matchAll(NAMES)].map(([, , name, , ofCase]) => name ?? ofCase ?? '');

describe('the table of what can go wrong', () => {
  it('has four cells in every row', () => {
    expect(rows.length).toBeGreaterThan(100);
    expect(rows.filter((cells) => cells.length !== 4 || cells.includes(''))).toEqual([]);
  });

  it.each(rows)('has a test for: %s', (_fault, _person, _operator, tests = '') => {
    for (const found of referencesIn(tests)) {
      const [, file = '', name = ''] = found ?? expect.fail(`not a test: ${tests}`);
      const source = new URL(file, import.meta.url);
      expect(existsSync(source), file).toBe(true);
      const names = namesIn(readFileSync(source, 'utf8'));
      expect(
        names.some((one) => one.includes(name)),
        `${file} “${name}”`,
      ).toBe(true);
    }
  });

  it('would notice a test of another name', () => {
    const names = namesIn("it('is here', () => {});\nit.each([\n  ['a case', 1],\n])('says %s', () => {});");
    expect(names).toEqual(['is here', 'a case', 'says %s']);
  });
});
