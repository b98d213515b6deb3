import type { Observation } from './design.js';
import { isRow, keptRow, settingRow } from './linear-estimate.js';
import { dot } from './matrix.js';
import { memberEffect } from './member-effects.js';
import type { Fit } from './mixed-model.js';
import { type MemberTotals, memberTotals } from './sufficient-statistics.js';

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
  return observations.map(({ member, levels, covariates, response }) => {
    const row = settingRow(fit, {
      levels: Object.fromEntries(fit.design.factors.map(({ name }, f) => [name, levels[f] ?? ''])),
      covariates: Object.fromEntries(
        fit.design.covariates.map(({ name }, c) => [name, covariates[c] ?? Number.NaN]),
      ),
    });
    if (!isRow(row)) return Number.NaN;
    const expected = dot(keptRow(fit, row), fit.coefficients) + fit.design.responseShift;
    return response - expected - (effects.get(member) ?? 0);
  });
}
