import { dot } from '../algebra/matrix.js';
import type { Observation } from '../model/design.js';
import { isRow, keptRow, settingRow } from '../model/linear-estimate.js';
import type { Fit } from '../model/mixed-model.js';
import { type MemberTotals, memberTotals } from '../model/sufficient-statistics.js';
import { memberEffect } from './member-effects.js';

/**
 * What each observation differs by from what the fit expects of it, its member's own effect included, in their order.
 * NaN where the fit has nothing to say: a level that it has never seen.
 * @param totals sums of the members by name; a member who is not there counts as a typical cook
 */
export function conditionalResiduals(
  fit: Fit,
  observations: readonly Observation[],
  totals: ReadonlyMap<string, MemberTotals> = memberTotals(fit.design, observations),
): readonly number[] {
  const effects = new Map<string, number>();
  if (fit.kind === 'mixed')
    for (const [member, sums] of totals) effects.set(member, memberEffect(fit, sums).effect);
  const expected = expectationOf(fit);
  return observations.map(
    (observation) => observation.response - expected(observation) - (effects.get(observation.member) ?? 0),
  );
}

/** What the fixed effects expect. Few combinations of levels occur, and the covariates add to each in the same way. */
function expectationOf(fit: Fit): (observation: Observation) => number {
  const { factors, covariates } = fit.design;
  const at = (levels: readonly string[], values: readonly number[]): number => {
    const row = settingRow(fit, {
      levels: Object.fromEntries(factors.map(({ name }, f) => [name, levels[f] ?? ''])),
      covariates: Object.fromEntries(covariates.map(({ name }, c) => [name, values[c] ?? Number.NaN])),
    });
    return isRow(row) ? dot(keptRow(fit, row), fit.coefficients) + fit.design.responseShift : Number.NaN;
  };
  const shifts = covariates.map(({ shift }) => shift);
  const bases = new Map<string, { readonly base: number; readonly slopes: readonly number[] }>();
  const lineOf = (levels: readonly string[]) => {
    const key = levels.join('\n');
    const known = bases.get(key);
    if (known !== undefined) return known;
    const base = at(levels, shifts);
    const slopes = shifts.map((_, c) => at(levels, shifts.with(c, (shifts[c] ?? 0) + 1)) - base);
    const line = { base, slopes };
    bases.set(key, line);
    return line;
  };
  return ({ levels, covariates: values }) => {
    const { base, slopes } = lineOf(levels);
    let expected = base;
    for (let c = 0; c < slopes.length; c += 1)
      expected += (slopes[c] ?? 0) * ((values[c] ?? Number.NaN) - (shifts[c] ?? 0));
    return expected;
  };
}
