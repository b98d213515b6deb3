import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { citation, SOURCES, type SourceId, sourceOf, sourcesOf } from '../../src/safety/sources.js';

const IDS = Object.keys(SOURCES) as SourceId[];

describe('sources', () => {
  it('each say what, who, where and how it is known', () => {
    for (const id of IDS) {
      const { title, body, where } = sourceOf(id);
      expect(id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
      for (const words of [title, body, where]) {
        expect(words).not.toBe('');
        expect(words).toBe(words.trim());
      }
    }
  });

  it('are each named once', () => {
    const titles = IDS.map((id) => `${sourceOf(id).title} ${sourceOf(id).where}`);
    expect(new Set(titles).size).toBe(titles.length);
  });

  it('own up in a citation to what was not read', () => {
    expect(citation('usda-suet')).toBe(
      'Beef, variety meats and by-products, suet, raw, USDA FoodData Central, SR Legacy: NDB 13335: 94.00 % fat, 4.00 % water',
    );
    expect(citation('food-code-holding')).toContain('(from memory)');
    expect(citation('pouring-density')).toContain('(computed)');
    expect(citation('practice-time')).toBe('Render for at least 2 hours (common practice, no source)');
  });

  it('are listed once each, in the order first named', () => {
    const assumptions = [
      { text: 'a', sources: ['practice-time', 'usda-suet'] },
      { text: 'b', sources: ['usda-suet', 'codex-211'] },
    ] as const;
    expect(sourcesOf(assumptions)).toEqual(['practice-time', 'usda-suet', 'codex-211']);
  });

  it('that are published have their titles shown from this one file', () => {
    const published = IDS.filter((id) => !['Home cooks', 'This project'].includes(sourceOf(id).body));
    const folder = fileURLToPath(new URL('../../src', import.meta.url));
    const others = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(
      (name) => name.endsWith('.ts') && !name.endsWith('sources.ts'),
    );
    expect(others.length).toBeGreaterThan(100);
    for (const name of others) {
      const comments = /\/\*[\s\S]*?\*\/|\/\/.*/g;
      const text = readFileSync(join(folder, name), 'utf8').replaceAll(comments, '');
      for (const id of published)
        expect(text.includes(sourceOf(id).title), `${name} spells ${id}`).toBe(false);
    }
  });
});
