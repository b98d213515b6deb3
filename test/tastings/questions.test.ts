import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TastingPlan } from '../../src/records/tastings.js';
import { OPENING } from '../../src/tastings/options.js';
import { questionKey, questionWords } from '../../src/tastings/questions.js';

const plan = (said: Partial<TastingPlan>): TastingPlan => ({
  kind: 'pair',
  products: [{ words: 'smoked' }, { words: 'plain' }],
  quality: 'beefy',
  expected: undefined,
  planned: 12,
  matters: { share: 0.3 },
  ...said,
});

describe('what is compared', () => {
  it.each([
    ['one wash, two washes', [{ words: 'one wash' }, { words: 'two washes' }]],
    ['salt and water; water alone', [{ words: 'salt and water' }, { words: 'water alone' }]],
    ['smoked or plain', [{ words: 'smoked' }, { words: 'plain' }]],
    ['smoked vs. plain', [{ words: 'smoked' }, { words: 'plain' }]],
    ['#12, batch 17', [{ batch: 12 }, { batch: 17 }]],
    ['12 against 17', [{ batch: 12 }, { batch: 17 }]],
    ['salted or smoked, plain', [{ words: 'salted or smoked' }, { words: 'plain' }]],
    ['none, half, full, ', [{ words: 'none' }, { words: 'half' }, { words: 'full' }]],
  ])('may be “%s”', (text, products) => {
    expect(OPENING.compare.parse(text)).toEqual({ ok: true, value: products });
  });

  it('is two to six different things, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 120 }), (text) => {
        const read = OPENING.compare.parse(text);
        if (!read.ok) return;
        expect(read.value.length).toBeGreaterThanOrEqual(2);
        expect(read.value.length).toBeLessThanOrEqual(6);
        expect(new Set(read.value.map((product) => JSON.stringify(product))).size).toBe(read.value.length);
      }),
    );
  });
});

describe('what difference would matter', () => {
  it.each([
    ['30 %', { share: 0.3 }],
    ['12,5 percent', { share: 0.125 }],
    ['d′ 1', { dPrime: 1 }],
    ["d' = 1,5", { dPrime: 1.5 }],
    ['d 0.8', { dPrime: 0.8 }],
  ])('may be “%s”', (text, matters) => {
    expect(OPENING.difference.parse(text)).toEqual({ ok: true, value: matters });
  });

  it.each(['30', '0 %', '100 %', 'd 0', 'd 9', 'some'])('is not guessed from “%s”', (text) => {
    expect(OPENING.difference.parse(text).ok).toBe(false);
  });
});

describe('questions', () => {
  it('are asked in words', () => {
    expect(questionWords(plan({}))).toBe('Which is more beefy: smoked or plain?');
    expect(questionWords(plan({ expected: 1 }))).toBe('Is plain more beefy than smoked?');
    expect(questionWords(plan({ kind: 'triangle', quality: undefined }))).toBe(
      'Is there a difference between smoked and plain?',
    );
  });

  it('are the same in whatever order and case their products are named, and else are not', () => {
    const turned = plan({ products: [{ words: 'Plain' }, { words: ' Smoked ' }], quality: 'Beefy' });
    expect(questionKey(turned)).toBe(questionKey(plan({})));
    expect(questionKey({ ...turned, expected: 0 })).toBe(questionKey(plan({ expected: 1 })));
    for (const other of [
      plan({ expected: 1 }),
      plan({ quality: 'smoky' }),
      plan({ kind: 'triangle', quality: undefined }),
      plan({ products: [{ words: 'smoked' }, { batch: 1 }] }),
    ])
      expect(questionKey(other)).not.toBe(questionKey(plan({})));
  });
});
