/** Ten thousand posts of the same hour go out over fifteen minutes. */
export const LONGEST_SPREAD_MS = 15 * 60_000;
const SPACING_MS = LONGEST_SPREAD_MS / 10_000;
/** The scheduler looks once a minute. */
const MINUTE_MS = 60_000;

/**
 * How long the post waits that comes after `others` of the same hour: whole minutes, from 0 to below fifteen. The first
 * do not wait; beyond ten thousand the minutes are gone through again.
 * @throws RangeError unless `others` is a whole number from 0.
 */
export function spreadWaitMs(others: number): number {
  if (!Number.isInteger(others) || others < 0)
    throw new RangeError(`others must be a whole number: ${others}`);
  const minutes = LONGEST_SPREAD_MS / MINUTE_MS;
  return MINUTE_MS * (Math.floor((others * SPACING_MS) / MINUTE_MS) % minutes);
}
