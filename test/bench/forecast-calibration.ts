/**
 * How often forecasts hold. Every member of the reference sets is left out in turn and each of their batches forecast
 * from the others' batches, as a newcomer's; and each batch of a member with a history is forecast from all other
 * batches, as that member's next. Of intervals made to cover 8 batches in 10, 75 to 85 % should.
 * Prints a table: `npm run bench -- forecast-calibration`.
 */
import {
  type Batch,
  batchDesign,
  covariateRanges,
  observationOf,
} from '../../src/statistics/model/batch-design.js';
import { memberTotals, modelSums } from '../../src/statistics/model/sufficient-statistics.js';
import {
  type ForecastBounds,
  forecastModel,
  forecastYield,
} from '../../src/statistics/questions/forecast.js';
import { oddBatches } from '../../src/statistics/questions/odd-batches.js';
import { CUTS, METHODS, readReferenceBatches, SET_NAMES } from '../statistics/reference-sets.js';

const DESIGN = batchDesign(METHODS, CUTS);

/** Ground fat gives 36 to 60 % of its weight (common practice, no source); no raw fat holds more than 95 %. */
const BOUNDS: ForecastBounds = { commonPractice: { low: 0.36, high: 0.6 }, ceiling: 0.95, level: 0.8 };

interface Tally {
  forecasts: number;
  held: number;
  width: number;
}

/** Batches without those that a person would have been asked about when logging them. */
function believable(batches: readonly Batch[]): readonly Batch[] {
  const odd = new Set(
    oddBatches(DESIGN, batches.map(observationOf), BOUNDS.ceiling).map(({ index }) => index),
  );
  return batches.filter((_, index) => !odd.has(index));
}

function forecastOf(batch: Batch, others: readonly Batch[]) {
  const observations = others.map(observationOf);
  const { method, cut, fatG, minutes } = batch;
  const member = memberTotals(DESIGN, observations).get(batch.member);
  return forecastYield(
    forecastModel(modelSums(DESIGN, observations), covariateRanges(DESIGN, observations)),
    { method, cut, fatG, minutes, member },
    BOUNDS,
  );
}

function tally(forecasts: Iterable<readonly [Batch, ReturnType<typeof forecastOf>]>): Tally {
  const result: Tally = { forecasts: 0, held: 0, width: 0 };
  for (const [{ fatG, tallowG }, { low, high }] of forecasts) {
    const actual = tallowG / fatG;
    result.forecasts += 1;
    if (actual >= low && actual <= high) result.held += 1;
    result.width += high - low;
  }
  return result;
}

/** Each member's batches from the others' batches. */
function* asNewcomers(batches: readonly Batch[]): Generator<readonly [Batch, ReturnType<typeof forecastOf>]> {
  for (const member of new Set(batches.map((batch) => batch.member))) {
    const others = batches.filter((batch) => batch.member !== member);
    const observations = others.map(observationOf);
    const model = forecastModel(modelSums(DESIGN, observations), covariateRanges(DESIGN, observations));
    for (const batch of batches.filter((one) => one.member === member)) {
      const { method, cut, fatG, minutes } = batch;
      yield [batch, forecastYield(model, { method, cut, fatG, minutes }, BOUNDS)];
    }
  }
}

/** Each batch from all others, its member's own among them. */
function* asNext(batches: readonly Batch[]): Generator<readonly [Batch, ReturnType<typeof forecastOf>]> {
  for (const batch of batches) {
    const others = batches.filter((other) => other !== batch);
    if (others.some(({ member }) => member === batch.member)) yield [batch, forecastOf(batch, others)];
  }
}

export function calibration(): Readonly<Record<string, Readonly<Record<string, string>>>> {
  const rows = SET_NAMES.map((set) => {
    const batches = believable(readReferenceBatches(set));
    return { set: set as string, newcomer: tally(asNewcomers(batches)), next: tally(asNext(batches)) };
  });
  const sum = (tallies: readonly Tally[]): Tally => ({
    forecasts: tallies.reduce((total, { forecasts }) => total + forecasts, 0),
    held: tallies.reduce((total, { held }) => total + held, 0),
    width: tallies.reduce((total, { width }) => total + width, 0),
  });
  rows.push({
    set: 'all',
    newcomer: sum(rows.map(({ newcomer }) => newcomer)),
    next: sum(rows.map(({ next }) => next)),
  });
  const share = ({ forecasts, held }: Tally) => `${((100 * held) / forecasts).toFixed(1)} % of ${forecasts}`;
  const width = ({ forecasts, width: total }: Tally) => `${((100 * total) / forecasts).toFixed(1)} points`;
  return Object.fromEntries(
    rows.map(({ set, newcomer, next }) => [
      set,
      {
        "newcomer's batches held": share(newcomer),
        'mean width': width(newcomer),
        "member's next held": share(next),
        'its mean width': width(next),
      },
    ]),
  );
}

console.table(calibration());
