import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readLine } from '../../src/console/line.js';

describe('a typed line', () => {
  it('names a command and its options, quoted or not', () => {
    expect(readLine('/water fat:"4 lb 8 oz" method:open-pot')).toEqual({
      ok: true,
      command: 'water',
      request: { kind: 'command', path: ['water'], given: { fat: '4 lb 8 oz', method: 'open-pot' } },
    });
    expect(readLine("/water fat:'4 lb 8 oz'")).toMatchObject({ request: { given: { fat: '4 lb 8 oz' } } });
    expect(readLine('/water fat:4 lb 8 oz method:pressure')).toMatchObject({
      request: { given: { fat: '4 lb 8 oz', method: 'pressure' } },
    });
  });

  it('may leave the slash out', () => {
    expect(readLine('help')).toMatchObject({ ok: true, command: 'help' });
  });

  it('takes the second word as part of the command, unless it is an option', () => {
    expect(readLine('/batch log fat:1kg')).toMatchObject({
      command: 'batch log',
      request: { path: ['batch', 'log'] },
    });
    expect(readLine('/safety topic:fire')).toMatchObject({
      command: 'safety',
      request: { path: ['safety'] },
    });
  });

  it('keeps a clock time inside a value', () => {
    expect(readLine('/plan fat:5 lb by:Saturday 6:30 pm')).toMatchObject({
      request: { given: { fat: '5 lb', by: 'Saturday 6:30 pm' } },
    });
  });

  it('understands escaped quotes', () => {
    expect(readLine(String.raw`/batch log note:"a \"good\" one" fat:1kg`)).toMatchObject({
      request: { given: { note: 'a "good" one', fat: '1kg' } },
    });
  });

  it('presses a button by its id and fills in a form', () => {
    expect(readLine('press:v1|batch.keep|ab12')).toMatchObject({
      request: { kind: 'press', id: 'v1|batch.keep|ab12', fields: {} },
    });
    expect(readLine('press:v1|batch.form fat:"2 kg" tallow:1 kg')).toMatchObject({
      request: { kind: 'press', id: 'v1|batch.form', fields: { fat: '2 kg', tallow: '1 kg' } },
    });
  });

  it.each([
    ['/batch log fat:"4 lb', 'not closed'],
    ['/water 4 lb', 'stands alone'],
    ['/water fat:1kg fat:2kg', 'given twice'],
    ['!!', 'starts with a command'],
    ['press:', 'which button'],
  ])('says what is wrong with “%s”', (line, words) => {
    const read = readLine(line);
    expect(read.ok ? 'read' : read.problem).toContain(words);
  });

  it('tells of a line that cannot be read what it was for', () => {
    expect(readLine('/Batch LOG fat:1kg fat:2kg')).toMatchObject({
      ok: false,
      command: 'batch log',
      meant: { kind: 'command', path: ['batch', 'log'], given: {} },
    });
    expect(readLine('press:v1|batch.correct|1 fat:"')).toMatchObject({
      meant: { kind: 'press', id: 'v1|batch.correct|1', fields: {} },
    });
  });

  it('keeps a web address inside a value', () => {
    expect(readLine('/batch log note:see http://example.org fat:1kg')).toMatchObject({
      request: { given: { note: 'see http://example.org', fat: '1kg' } },
    });
  });

  it('takes names that every object answers to for names', () => {
    expect(readLine('/water constructor:x fat:1kg')).toMatchObject({
      request: { given: { constructor: 'x', fat: '1kg' } },
    });
    expect(readLine('/water fat:1kg tostring:y')).toMatchObject({
      request: { given: { fat: '1kg', tostring: 'y' } },
    });
  });

  /** Pieces of which a reader that goes back over what it has read would make much. */
  const PIECES = [
    ' ',
    '\t',
    'x',
    'x ',
    'a:',
    'a: ',
    ' a:',
    ' a',
    '|',
    '| ',
    '" ',
    "'",
    '\\',
    '“',
    ' http:',
    '://',
    '😀',
    '\u0301',
  ];
  const STARTS = [
    '/water fat:4',
    '/batch log note:"',
    'press:v1|a|',
    'press:',
    '/',
    '',
    'press:"',
    '/water ',
    '/water fat:4 b:',
  ];

  it('is read in time that grows with its length alone', () => {
    const length = 200_000;
    const times = STARTS.flatMap((start) =>
      PIECES.map((piece) => {
        const line = `${start}${piece.repeat(length / piece.length)}x`;
        const before = performance.now();
        readLine(line);
        return { start, piece, ms: performance.now() - before };
      }),
    );
    // Some 20 ms by themselves; what goes back over it takes minutes.
    expect(times.filter(({ ms }) => ms > 1000)).toEqual([]);
  });

  it('is read in that time whatever is repeated in it', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...STARTS),
        fc.array(fc.constantFrom(...PIECES), { minLength: 1, maxLength: 5 }),
        (start, pieces) => {
          const piece = pieces.join('');
          const line = `${start}${piece.repeat(50_000 / piece.length)}x`;
          const before = performance.now();
          readLine(line);
          expect(performance.now() - before).toBeLessThan(1000);
        },
      ),
      { numRuns: 100 },
    );
  });

  it('never throws, whatever is typed', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary' }), fc.stringMatching(/^(press:|\/)[a-z:"'| \\]*$/)),
        (line) => {
          expect(typeof readLine(line).ok).toBe('boolean');
        },
      ),
      { numRuns: 2000 },
    );
  });
});
