import { describe, expect, it } from 'vitest';
import { type NumberedBatch, type Query, referenceReport } from '../../src/spreadsheet/reference-report.js';
import { differences, isObject, type Json } from '../statistics/reference-differences.js';
import {
  CUTS,
  METHODS,
  readReferenceBatches,
  readReferenceResults,
  SET_NAMES,
} from '../statistics/reference-sets.js';

const QUERIES: readonly Query[] = [
  { method: 'open pot wet', cut: 'ground', fatG: 1500, minutes: 180 },
  { method: 'oven dry', cut: 'cubed', fatG: 3000, minutes: 300 },
  { method: 'slow cooker dry-ish', cut: 'minced', fatG: 2200, minutes: 420 },
];

describe('the report agrees with lme4, lmerTest, pbkrtest and emmeans', () => {
  for (const set of SET_NAMES) {
    const expected = () => readReferenceResults<{ readonly [key: string]: Json }>(set);
    const numbered = (): readonly NumberedBatch[] => readReferenceBatches(set);
    const report = () => referenceReport(numbered(), METHODS, CUTS, QUERIES);
    for (const section of ['mixed_model', 'mixed_model_without_aliased_covariates', 'outliers'])
      it(`on ${section} of ${set}`, () => {
        expect([...differences(report()[section], expected()[section] ?? null, [section])]).toEqual([]);
      });
    it(`on the pooled yield of ${set}`, () => {
      const { pooled_yield: pooled } = expected();
      if (!isObject(pooled ?? null) || !isObject(pooled)) throw new Error('expected a pooled yield');
      const { ratio, mean, random_intercept: random, effective_batches: effective } = pooled;
      const ours = report().pooled_yield;
      if (!isObject(ours)) throw new Error('expected a pooled yield');
      for (const [key, value] of Object.entries({ ratio, mean }))
        if (isObject(value)) {
          const { estimate, cr2 } = value;
          expect([
            ...differences(ours[key], { estimate: estimate ?? null, cr2: cr2 ?? null }, [key]),
          ]).toEqual([]);
        }
      if (effective !== undefined)
        expect([...differences(ours.effective_batches, effective, ['effective'])]).toEqual([]);
      if (isObject(random) && random.error === undefined)
        expect([...differences(ours.random_intercept, random, ['random_intercept_satterthwaite'])]).toEqual(
          [],
        );
      else expect(ours.random_intercept).toBeNull();
    });
  }
});
