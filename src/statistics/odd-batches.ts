import type { Design, Observation } from './design.js';
import { fitMixedModel } from './mixed-model.js';
import { LEAST_FOR_OWN_SPREAD, modifiedZ, ODD_BEYOND } from './modified-z.js';
import { conditionalResiduals } from './residuals.js';
import { memberTotals, modelSumsWith } from './sufficient-statistics.js';

export type Oddity =
  /** No tallow at all, or less. */
  | { readonly kind: 'nothing-rendered' }
  /** More tallow than the raw fat can hold. */
  | { readonly kind: 'more-than-the-fat-holds' }
  /** Far from what this cook gets with this method. */
  | {
      readonly kind: 'far-from-own';
      /** Modified z of the residual among the batches of the same method; beyond ±3.5. */
      readonly z: number;
      /** Yield less what was expected of this cook, method, cut, weight and time. */
      readonly residual: number;
    };

export interface OddBatch {
  /** Position among the observations. */
  readonly index: number;
  readonly oddity: Oddity;
}

/** The set of odd batches settles in two or three rounds; a swinging one is cut short. */
const MOST_ROUNDS = 10;

/**
 * Batches that are probably typing errors or wet discs: first those that cannot be, then those whose residual, with
 * method, cut, weight, time and the cook allowed for, has a modified z beyond 3.5 among the batches of its method.
 * The model is fitted again without the ones found until the same are found again, so that one wild value does not
 * hide another. A method with fewer than five batches is judged by the spread of all residuals.
 *
 * Nothing is dropped here: whoever asks decides what to do with them.
 * @param ceiling largest yield that raw fat can give, a fraction
 * @throws RangeError unless 0 < ceiling ≤ 1.
 */
export function oddBatches(
  design: Design,
  observations: readonly Observation[],
  ceiling: number,
): readonly OddBatch[] {
  if (!(ceiling > 0 && ceiling <= 1))
    throw new RangeError(`ceiling must be above 0 and at most 1: ${ceiling}`);
  const impossible: OddBatch[] = [];
  const possible: number[] = [];
  for (const [index, { response }] of observations.entries())
    if (response <= 0) impossible.push({ index, oddity: { kind: 'nothing-rendered' } });
    else if (response > ceiling) impossible.push({ index, oddity: { kind: 'more-than-the-fat-holds' } });
    else possible.push(index);

  let odd: readonly OddBatch[] = [];
  const leftOutBefore = new Set<string>();
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const leftOut = odd.map(({ index }) => index);
    // Leaving out the same batches again, none of them included, would find the same again.
    if (leftOutBefore.has(leftOut.join())) break;
    leftOutBefore.add(leftOut.join());
    odd = farFromOwn(design, observations, possible, new Set(leftOut));
  }
  return [...impossible, ...odd].sort((a, b) => a.index - b.index);
}

function farFromOwn(
  design: Design,
  observations: readonly Observation[],
  possible: readonly number[],
  leftOut: ReadonlySet<number>,
): readonly OddBatch[] {
  const at = (indices: readonly number[]) => indices.flatMap((index) => observations[index] ?? []);
  const trusted = at(possible.filter((index) => !leftOut.has(index)));
  const totals = memberTotals(design, trusted);
  const fit = fitMixedModel(modelSumsWith(design, trusted, totals));
  if (fit.kind === 'none') return [];
  const judged = at(possible);
  const residuals = conditionalResiduals(fit, judged, totals);

  // Positions among the residuals; a level that the fit has never seen has none.
  const byMethod = new Map<string, number[]>();
  for (const [k, { levels }] of judged.entries()) {
    if (!Number.isFinite(residuals[k])) continue;
    const method = levels[0] ?? '';
    const own = byMethod.get(method);
    if (own) own.push(k);
    else byMethod.set(method, [k]);
  }
  const spreadAmong = (positions: readonly number[]) =>
    modifiedZ(positions.map((k) => residuals[k] ?? Number.NaN));
  const all = [...byMethod.values()].flat();
  return [...byMethod.values()].flatMap((own) => {
    const { median, spread } = spreadAmong(own.length < LEAST_FOR_OWN_SPREAD ? all : own);
    return own.flatMap((k): readonly OddBatch[] => {
      const [index = -1, residual = Number.NaN] = [possible[k], residuals[k]];
      const z = (residual - median) / spread;
      return Math.abs(z) > ODD_BEYOND ? [{ index, oddity: { kind: 'far-from-own', z, residual } }] : [];
    });
  });
}
