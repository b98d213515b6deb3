import type { BatchFacts } from '../../src/records/batches.js';

/**
 * The facts of a batch with what somebody changed of it put in. What they left as they found it stays as it is `now`:
 * somebody else may have corrected it meanwhile.
 */
export function mergedFacts(now: BatchFacts, found: BatchFacts, changed: BatchFacts): BatchFacts {
  const merged = <K extends keyof BatchFacts>(key: K): BatchFacts[K] =>
    isSame(found[key], changed[key]) ? now[key] : changed[key];
  return {
    method: merged('method'),
    cut: merged('cut'),
    fatG: merged('fatG'),
    tallowG: merged('tallowG'),
    waterMl: merged('waterMl'),
    waterLeftMl: merged('waterLeftMl'),
    minutes: merged('minutes'),
    weighedAs: merged('weighedAs'),
    taste: merged('taste'),
    note: merged('note'),
    finishedAt: merged('finishedAt'),
  };
}

const isSame = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other);
