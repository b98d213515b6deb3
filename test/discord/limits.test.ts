import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutLines, cutText } from '../../src/discord/limits.js';

describe('cutting text', () => {
  it('leaves what fits', () => {
    expect(cutText('short', 10)).toBe('short');
  });

  it('stays within the limit and splits neither a character nor an escape', () => {
    expect(cutText('🥩🥩🥩', 4)).toBe('🥩…');
    expect(cutText('ab\\*cd', 4)).toBe('ab…');
    expect(cutText('a\\\\*cd', 4)).toBe('a\\\\…');
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('a', '\\', '🥩', 'é', ' ', '*'), maxLength: 40 }),
        fc.integer({ min: 1, max: 30 }),
        (text, most) => {
          expect(cutText(text, most).length).toBeLessThanOrEqual(most);
        },
      ),
    );
  });

  it('puts something where Discord would see nothing', () => {
    expect(cutText(' \n ', 10)).toBe('…');
  });
});

describe('cutting lines', () => {
  const lines = Array.from({ length: 10 }, (_, at) => `line ${at}`);

  it('leaves what fits', () => {
    expect(cutLines(lines, 1000)).toBe(lines.join('\n'));
  });

  it('keeps whole lines and counts those it leaves out', () => {
    expect(cutLines(lines, 40)).toBe('line 0\nline 1\nline 2\n… and 7 more lines');
  });

  it('cuts inside a first line that is too long by itself', () => {
    expect(cutLines(['x'.repeat(50), 'y'], 30)).toBe(`${'x'.repeat(11)}…\n… and 1 more line`);
  });

  it('never goes over the limit, and what is kept and counted is all there was', () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-z]{1,30}$/), { maxLength: 30 }),
        fc.integer({ min: 60, max: 300 }),
        (any, most) => {
          const cut = cutLines(any, most);
          expect(cut.length).toBeLessThanOrEqual(most);
          const counted = /… and (\d+) more lines?$/.exec(cut)?.[1];
          const shownLines = any.length === 0 ? 0 : cut.split('\n').length - (counted === undefined ? 0 : 1);
          expect(shownLines + Number(counted ?? 0)).toBe(any.length);
        },
      ),
    );
  });
});
