import { describe, expect, it } from 'vitest';
import { type NumberedBatch, type Query, referenceReport } from '../../src/statistics/reference-report.js';
import {
  CUTS,
  METHODS,
  readReferenceBatches,
  readReferenceResults,
  referenceSetsAreHere,
  SET_NAMES,
} from './reference-sets.js';

type Json = null | number | string | boolean | readonly Json[] | { readonly [key: string]: Json };

/**
 * How far a number may be from the reference, by the key it stands under: the tolerances that come with the reference
 * sets. Satterthwaite's degrees of freedom were differentiated numerically there, and what is computed from them
 * inherits that.
 */
function tolerance(path: readonly string[]): { readonly relative?: number; readonly absolute?: number } {
  const key = path.findLast((step) => Number.isNaN(Number(step))) ?? '';
  const satterthwaite =
    /^(df_satterthwaite|df_fit|df_pred)$/.test(key) || path.some((step) => step.endsWith('_satterthwaite'));
  if (key === 'theta' || key === 'reml_criterion') return { absolute: 1e-6 };
  if (key === 'vcov_theta_sigma') return { relative: 2e-4, absolute: 1e-10 };
  if (key === 'blup') return { absolute: 1e-6 * 0.04 };
  // A p value moves with t and df by more than they do, far out in the tail the most; R's own studentized range is good
  // to about 1e-10
  if (key === 'p_tukey') return { relative: 1e-4, absolute: 1e-9 };
  if (/^p(_|$)/.test(key)) return { relative: satterthwaite || key === 'p' ? 1e-4 : 1e-5 };
  if (satterthwaite && key === 'df') return { relative: 1e-4 };
  if (/^(df_satterthwaite|df_fit|df_pred)$/.test(key)) return { relative: 1e-4 };
  if (satterthwaite && /^(lower|upper)/.test(key)) return { relative: 1e-5 };
  return { relative: 1e-6, absolute: 1e-12 };
}

/** Where the reference says something else, or something that is not said here. */
function* differences(actual: Json | undefined, expected: Json, path: readonly string[]): Generator<string> {
  const at = path.join('.');
  if (typeof expected === 'number' && typeof actual === 'number') {
    const { relative = 0, absolute = 0 } = tolerance(path);
    const error = Math.abs(actual - expected);
    if (!(error <= relative * Math.abs(expected) + absolute)) yield `${at}: ${actual} for ${expected}`;
  } else if (Array.isArray(expected)) {
    if (!Array.isArray(actual) || actual.length !== expected.length) yield `${at}: ${JSON.stringify(actual)}`;
    else for (const [i, item] of expected.entries()) yield* differences(actual[i], item, [...path, `${i}`]);
  } else if (isObject(expected)) {
    if (!isObject(actual)) yield `${at}: ${JSON.stringify(actual)}`;
    else
      for (const [key, value] of Object.entries(expected))
        if (!NOT_REPORTED.has(key)) yield* differences(actual[key], value, [...path, key]);
  } else if (actual !== expected) yield `${at}: ${JSON.stringify(actual)} for ${JSON.stringify(expected)}`;
}

function isObject(value: Json | undefined): value is { readonly [key: string]: Json } {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Keys that describe the reference software or results that are not part of the report. */
const NOT_REPORTED = new Set([
  'formula',
  'lme4_notes',
  'lme4_error',
  'satterthwaite_notes',
  'default_optimizer',
  'mean_of_member_means',
  'se_iid',
  'se_sandwich_CL_HC1',
  'error',
]);

const QUERIES: readonly Query[] = [
  { method: 'open pot wet', cut: 'ground', fatG: 1500, minutes: 180 },
  { method: 'oven dry', cut: 'cubed', fatG: 3000, minutes: 300 },
  { method: 'slow cooker dry-ish', cut: 'minced', fatG: 2200, minutes: 420 },
];

describe.skipIf(!referenceSetsAreHere)('the report agrees with lme4, lmerTest, pbkrtest and emmeans', () => {
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
