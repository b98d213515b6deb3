import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { AS_QUOTED } from '../../src/safety/sources/as-quoted.js';
import { COMPUTED } from '../../src/safety/sources/computed.js';
import { FROM_MEMORY } from '../../src/safety/sources/from-memory.js';
import { PRACTICE } from '../../src/safety/sources/practice.js';
import { READ } from '../../src/safety/sources/read.js';
import { briefCitation, type SourceId, sourceOf } from '../../src/safety/sources.js';

const IDS = [READ, AS_QUOTED, FROM_MEMORY, COMPUTED, PRACTICE].flatMap((entries) =>
  Object.keys(entries),
) as SourceId[];

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
    expect(new Set(IDS).size).toBe(IDS.length);
  });

  it('own up, where they are named, to what was not read', () => {
    expect(briefCitation('usda-suet')).toBe(
      'USDA FoodData Central, SR Legacy, Beef, variety meats and by-products, suet, raw',
    );
    expect(briefCitation('food-code-holding')).toContain('(from memory)');
    expect(briefCitation('canning-butter')).toContain('(as quoted by others)');
    expect(briefCitation('hot-fat-inference')).toMatch(/^Our own margin, /);
    expect(briefCitation('pouring-density')).toMatch(/^This project, /);
    expect(briefCitation('practice-time')).toBe('Common practice (no published source)');
  });

  it('that are published have their titles shown from one place', () => {
    const published = IDS.filter(
      (id) =>
        !['Home cooks', 'This project', 'Our own margin', 'Our own analogy'].includes(sourceOf(id).body),
    );
    const folder = fileURLToPath(new URL('../../src', import.meta.url));
    const others = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(
      (name) => name.endsWith('.ts') && !name.includes(join('safety', 'sources')),
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
