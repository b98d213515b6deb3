/** Fits a stretch of work between hours that should be left alone. Times are epoch milliseconds. */

export interface QuietHours {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Work is put off or brought forward by at most this. */
const MOST_SHIFT_MS = 36 * 3_600_000;

/** Whether a stretch and any of the quiet hours overlap. */
export function touches(startMs: number, endMs: number, quiet: readonly QuietHours[]): boolean {
  return overlapMs(startMs, endMs, quiet) > 0;
}

/**
 * The earliest start from `fromMs` on, of work that takes `lengthMs`, with as little of it in the quiet hours as can be:
 * at once, or when some of them end.
 */
export function placeFrom(fromMs: number, lengthMs: number, quiet: readonly QuietHours[]): number {
  const starts = [fromMs, ...quiet.map(({ toMs }) => toMs)]
    .filter((startMs) => startMs >= fromMs && startMs - fromMs <= MOST_SHIFT_MS)
    .sort((a, b) => a - b);
  return leastDisturbed(starts, fromMs, (startMs) => overlapMs(startMs, startMs + lengthMs, quiet));
}

/**
 * The latest end up to `byMs`, of work that takes `lengthMs`, with as little of it in the quiet hours as can be: then, or
 * when some of them begin, or begun when some of them end.
 */
export function placeBefore(byMs: number, lengthMs: number, quiet: readonly QuietHours[]): number {
  const ends = [byMs, ...quiet.flatMap(({ fromMs, toMs }) => [fromMs, toMs + lengthMs])]
    .filter((endMs) => endMs <= byMs && byMs - endMs <= MOST_SHIFT_MS)
    .sort((a, b) => b - a);
  return leastDisturbed(ends, byMs, (endMs) => overlapMs(endMs - lengthMs, endMs, quiet));
}

/** The first of those that are disturbed least. */
function leastDisturbed(
  places: readonly number[],
  first: number,
  disturbance: (place: number) => number,
): number {
  let best = { place: first, disturbed: disturbance(first) };
  for (const place of places) {
    const disturbed = disturbance(place);
    if (disturbed < best.disturbed) best = { place, disturbed };
  }
  return best.place;
}

/** What takes no time is in nobody's way. */
function overlapMs(startMs: number, endMs: number, quiet: readonly QuietHours[]): number {
  return quiet.reduce(
    (sum, { fromMs, toMs }) => sum + Math.max(0, Math.min(endMs, toMs) - Math.max(startMs, fromMs)),
    0,
  );
}
