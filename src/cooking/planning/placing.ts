/** Fits work between hours that should be left alone. Times are epoch milliseconds. */

export interface QuietHours {
  readonly fromMs: number;
  readonly toMs: number;
}

/** A stretch in which somebody has to be there, from when the whole of it begins. */
export interface Work {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Work is put off or brought forward by at most this. */
const MOST_SHIFT_MS = 36 * 3_600_000;

/** Whether a stretch and any of the quiet hours overlap. */
export function touches(startMs: number, endMs: number, quiet: readonly QuietHours[]): boolean {
  return overlapMs(startMs, endMs, quiet) > 0;
}

/** The earliest start from `fromMs` on with as little of the work in the quiet hours as can be. */
export function placeFrom(fromMs: number, work: readonly Work[], quiet: readonly QuietHours[]): number {
  const starts = startsBeside(work, quiet)
    .filter((startMs) => startMs >= fromMs && startMs - fromMs <= MOST_SHIFT_MS)
    .sort((a, b) => a - b);
  return leastDisturbed([fromMs, ...starts], work, quiet);
}

/** The latest start up to `untilMs` with as little of the work in the quiet hours as can be. */
export function placeBefore(untilMs: number, work: readonly Work[], quiet: readonly QuietHours[]): number {
  const starts = startsBeside(work, quiet)
    .filter((startMs) => startMs <= untilMs && untilMs - startMs <= MOST_SHIFT_MS)
    .sort((a, b) => b - a);
  return leastDisturbed([untilMs, ...starts], work, quiet);
}

/** Starts with which a stretch of work begins as some quiet hours end, or ends as they begin. */
function startsBeside(work: readonly Work[], quiet: readonly QuietHours[]): number[] {
  return quiet.flatMap((hours) =>
    work.flatMap(({ fromMs, toMs }) => [hours.toMs - fromMs, hours.fromMs - toMs]),
  );
}

/** The first of those that are disturbed least. */
function leastDisturbed(
  starts: readonly number[],
  work: readonly Work[],
  quiet: readonly QuietHours[],
): number {
  let best: { readonly startMs: number; readonly disturbed: number } | undefined;
  for (const startMs of starts) {
    const disturbed = disturbedMs(startMs, work, quiet);
    if (best === undefined || disturbed < best.disturbed) best = { startMs, disturbed };
  }
  if (best === undefined) throw new RangeError('there is no start to choose from');
  return best.startMs;
}

/** How much of work that begins then falls into the quiet hours. */
export function disturbedMs(startMs: number, work: readonly Work[], quiet: readonly QuietHours[]): number {
  return work.reduce((sum, { fromMs, toMs }) => sum + overlapMs(startMs + fromMs, startMs + toMs, quiet), 0);
}

/** What takes no time is in nobody's way. */
function overlapMs(startMs: number, endMs: number, quiet: readonly QuietHours[]): number {
  return quiet.reduce(
    (sum, { fromMs, toMs }) => sum + Math.max(0, Math.min(endMs, toMs) - Math.max(startMs, fromMs)),
    0,
  );
}
