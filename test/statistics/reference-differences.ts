export type Json = null | number | string | boolean | readonly Json[] | { readonly [key: string]: Json };

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
export function* differences(
  actual: Json | undefined,
  expected: Json,
  path: readonly string[],
): Generator<string> {
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

export function isObject(value: Json | undefined): value is { readonly [key: string]: Json } {
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
