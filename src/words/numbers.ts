/** Rounding to what is worth saying, and the checks that calculations make of what they are given. */

/** How far a printed amount may be from the calculated one, as a fraction of it. */
export const ROUNDING_TOLERANCE = 0.02;

/** How far from the calculated one an end of a range may be printed: a range says already that it is rough. */
export const RANGE_TOLERANCE = 0.06;

/** Scale divisions from a thousandth up: 1 and 5 times each power of ten. */
export const DECIMAL_STEPS: readonly number[] = [-3, -2, -1, 0, 1, 2, 3, 4].flatMap((power) => [
  10 ** power,
  5 * 10 ** power,
]);

/**
 * The coarsest of some ascending steps that this value can be rounded to within the tolerance, or the finest when none
 * will do.
 */
export function coarsestStep(
  value: number,
  steps: readonly number[],
  direction: 'near' | 'up' = 'near',
): number {
  const round = direction === 'near' ? roundTo : roundUpTo;
  const fitting = steps.findLast((step) => step <= value && isWithinTolerance(round(value, step), value));
  return fitting ?? steps[0] ?? 1;
}

export function roundTo(value: number, step: number): number {
  return tidy(Math.round(value / step) * step);
}

/** The next multiple at or above the value; noise in the last digits does not count as above. */
export function roundUpTo(value: number, step: number): number {
  return tidy(Math.ceil(value / step - 1e-9) * step);
}

export function isWithinTolerance(
  rounded: number,
  exact: number,
  tolerance: number = ROUNDING_TOLERANCE,
): boolean {
  return Math.abs(rounded - exact) <= tolerance * Math.abs(exact) * (1 + 1e-12);
}

/** In as few digits, four at most, as stay within the tolerance: 4.83 is 4.8. */
export function inFewDigits(value: number): number {
  const rounded = [1, 2, 3].map((digits) => Number(value.toPrecision(digits)));
  return rounded.find((number) => isWithinTolerance(number, value)) ?? Number(value.toPrecision(4));
}

/** Fixed decimals, never "-0". */
export function withDecimals(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** Drops the binary noise that multiplying by a decimal step leaves. */
function tidy(value: number): number {
  return Number(value.toFixed(6));
}

export function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

type NamedNumbers = Readonly<Record<string, number>>;

/** Throws RangeError for the first that is not a finite number above 0. */
export function assertPositive(values: NamedNumbers): void {
  for (const [name, value] of Object.entries(values))
    if (!(Number.isFinite(value) && value > 0))
      throw new RangeError(`${name} must be a finite number above 0, not ${value}`);
}

/** Throws RangeError for the first that is not a finite number from 0 up. */
export function assertNotNegative(values: NamedNumbers): void {
  for (const [name, value] of Object.entries(values))
    if (!(Number.isFinite(value) && value >= 0))
      throw new RangeError(`${name} must be a finite number from 0 up, not ${value}`);
}

/** Throws RangeError for the first that is outside the bounds. */
export function assertWithin(values: NamedNumbers, low: number, high: number): void {
  for (const [name, value] of Object.entries(values))
    if (!(value >= low && value <= high))
      throw new RangeError(`${name} must be from ${low} to ${high}, not ${value}`);
}
