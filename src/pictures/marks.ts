/** Radius in pixels of the mark of a kilogram of fat; the area goes with the weight. */
const PX_PER_ROOT_KG = 4.2;
const SMALLEST_PX = 2.5;
const LARGEST_PX = 12;

/** Radius of a batch's mark in pixels. */
export function markRadius(fatG: number): number {
  return Math.min(LARGEST_PX, Math.max(SMALLEST_PX, PX_PER_ROOT_KG * Math.sqrt(fatG / 1000)));
}

/** The distance between two lines of an axis of yields: ten points where the range is wide, else five. */
export const yieldGridStep = ([from, to]: readonly [number, number]): number =>
  to - from > 0.5 ? 0.1 : 0.05;

/** A range around all yields shown, from line to line of the grid, within 0 and 1, at least 20 points wide. */
export function yieldAxisRange(values: readonly number[]): readonly [number, number] {
  const least = Math.max(0, Math.min(...values, 1) - 0.02);
  const most = Math.min(1, Math.max(...values, 0) + 0.02);
  if (least >= most) return [0, 1];
  const lines = Math.round(1 / yieldGridStep([least, most]));
  const [low, high] = [Math.floor(least * lines) / lines, Math.ceil(most * lines) / lines];
  return high - low >= 0.2 ? [low, high] : [Math.max(0, high - 0.2), Math.max(high, 0.2)];
}
