import { Matrix } from 'ml-matrix';
import { dot } from '../algebra/matrix.js';
import type { Design, Observation } from '../model/design.js';
import { type Fit, fitMixedModel } from '../model/mixed-model.js';
import { keptColumns } from '../model/model-frame.js';
import { type MemberTotals, memberTotals, modelSumsWith } from '../model/sufficient-statistics.js';
import { LEAST_FOR_OWN_SPREAD, modifiedZ, ODD_BEYOND } from './modified-z.js';
import { conditionalResiduals } from './residuals.js';

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
 * method, cut, weight, time and the cook allowed for, has a modified z beyond 3.5 among the batches of its method. The
 * model is fitted again without the ones found until the same are found again, so that one wild value does not hide
 * another. The batches of a cook of whom fewer than four can be trusted are judged against how much cooks differ.
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
    const leftOut = odd.map(({ index }) => index).join();
    // Leaving out the same batches again, none of them included, would find the same again.
    if (leftOutBefore.has(leftOut)) break;
    leftOutBefore.add(leftOut);
    const found = farFromOwn(design, observations, possible, odd);
    // What is left fits exactly or not at all: there is nothing more to learn from it.
    if (found === undefined) break;
    odd = found;
  }
  return [...impossible, ...odd].sort((a, b) => a.index - b.index);
}

/** A method with fewer batches than this is judged by the spread of all where that is wider (a choice of ours, no source). */
const LEAST_FOR_OWN_SPREAD_ALONE = 15;
/** How much fewer cooks than this differ cannot be told (a choice of ours, no source). */
const LEAST_COOKS = 5;
/** A cook with so many trusted batches has a way of their own to be judged by (a choice of ours, no source). */
const LEAST_TRUSTED = 4;
/** Nothing within five points of what was to be expected is odd (a choice of ours, no source). */
const LEAST_SPREAD = 0.05 / ODD_BEYOND;

/** Undefined when the model cannot be fitted to the batches that are not left out. */
function farFromOwn(
  design: Design,
  observations: readonly Observation[],
  possible: readonly number[],
  leftOut: readonly OddBatch[],
): readonly OddBatch[] | undefined {
  const before = new Map(leftOut.map((one) => [one.index, one]));
  const at = (indices: readonly number[]) => indices.flatMap((index) => observations[index] ?? []);
  const trusted = at(possible.filter((index) => !before.has(index)));
  const totals = memberTotals(design, trusted);
  const fit = fitMixedModel(modelSumsWith(design, trusted, totals));
  if (fit.kind === 'none') return undefined;
  const judged = at(possible);
  const known = new Map([...totals].filter(([, { columns }]) => (columns[0] ?? 0) >= LEAST_TRUSTED));
  // Of a cook who is not known the own effect stays in it.
  const residuals = conditionalResiduals(fit, judged, known);
  const scales = scalesFrom(fit, judged, residuals, known, totals);
  return judged.flatMap((observation, k): readonly OddBatch[] => {
    const [index = -1, residual = Number.NaN] = [possible[k], residuals[k]];
    // Without the ones left out a level may be unknown: then nothing speaks for them.
    if (!Number.isFinite(residual)) return [...[before.get(index)].filter((one) => one !== undefined)];
    const scale = scales(observation);
    const z = scale === undefined ? 0 : (residual - scale.median) / scale.spread;
    return Math.abs(z) > ODD_BEYOND ? [{ index, oddity: { kind: 'far-from-own', z, residual } }] : [];
  });
}

interface Scale {
  readonly median: number;
  readonly spread: number;
}

/** What the residual of a batch is measured by; undefined where there is too little to go by. */
function scalesFrom(
  fit: Fit,
  judged: readonly Observation[],
  residuals: readonly number[],
  known: ReadonlyMap<string, MemberTotals>,
  totals: ReadonlyMap<string, MemberTotals>,
): (observation: Observation) => Scale | undefined {
  const isKnown = ({ member }: Observation) => fit.kind !== 'mixed' || known.has(member);
  const byMethod = new Map<string, number[]>();
  for (const [k, observation] of judged.entries()) {
    const residual = residuals[k] ?? Number.NaN;
    if (!Number.isFinite(residual) || !isKnown(observation)) continue;
    const method = methodOf(observation);
    const own = byMethod.get(method);
    if (own) own.push(residual);
    else byMethod.set(method, [residual]);
  }
  const among = scaleOf([...byMethod.values()].flat());
  const within = new Map([...byMethod].map(([method, own]) => [method, scaleWithin(own, among)]));
  const cooks = [...totals.values()].map((one) => meanResidual(fit, one));
  const between = cooks.length < LEAST_COOKS ? undefined : scaleOf(cooks);
  const ofNewcomers = between && { ...between, spread: Math.hypot(between.spread, among.spread) };
  return (observation) => (isKnown(observation) ? within.get(methodOf(observation)) : ofNewcomers);
}

const methodOf = ({ levels }: Observation): string => levels[0] ?? '';

function scaleOf(residuals: readonly number[]): Scale {
  if (residuals.length === 0) return { median: 0, spread: LEAST_SPREAD };
  const { median, spread } = modifiedZ(residuals);
  return { median, spread: Number.isFinite(spread) ? Math.max(LEAST_SPREAD, spread) : LEAST_SPREAD };
}

/** The scale of a method's own batches, as far as they are enough for one. */
function scaleWithin(own: readonly number[], among: Scale): Scale {
  if (own.length < LEAST_FOR_OWN_SPREAD) return among;
  const { median, spread } = scaleOf(own);
  return own.length < LEAST_FOR_OWN_SPREAD_ALONE
    ? { median, spread: Math.max(spread, among.spread) }
    : { median, spread };
}

/** Mean of a member's batches less what was expected of a typical cook. */
function meanResidual(fit: Fit, totals: MemberTotals): number {
  const kept = keptColumns(fit).map(({ fullColumn }) => totals.columns[fullColumn] ?? 0);
  return (totals.response - dot(Matrix.columnVector(kept), fit.coefficients)) / (totals.columns[0] ?? 1);
}
