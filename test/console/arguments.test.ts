import { describe, expect, it } from 'vitest';
import { readArguments, USAGE } from '../../src/console/arguments.js';

describe('--help', () => {
  const flags = [...USAGE.matchAll(/^ +(--[a-z-]+)( [A-Z]+)?/gm)].map(([, flag = '', value]) => ({
    flag,
    value: value?.trim(),
  }));

  it('names flags that are read, each with or without a value as it is told', () => {
    expect(flags.length).toBeGreaterThan(7);
    for (const { flag, value } of flags) {
      const sample = value === 'MOMENT' ? '2026-03-01T18:00:00Z' : 'sample';
      expect(readArguments(value === undefined ? [flag] : [flag, sample])).toMatchObject({ ok: true });
    }
  });

  it('names every flag there is', () => {
    const read = readArguments([]);
    const known = read.ok ? Object.keys(read.arguments).filter((name) => name !== 'words') : [];
    const named = new Set(flags.map(({ flag }) => flag.slice(2)));
    for (const name of [...known, 'now', 'data']) expect(named).toContain(name);
  });
});
