/** Fits a stretch of work between hours that should be left alone. Times are epoch milliseconds. */

export interface QuietHours {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Work is put off or brought forward by at most this; beyond it the hours are used after all. */
const MOST_SHIFT_MS = 36 * 3_600_000;

/** Whether a stretch and any of the quiet hours overlap. */
export function touches(startMs: number, endMs: number, quiet: readonly QuietHours[]): boolean {
  return clash(startMs, endMs, quiet) !== undefined;
}

/** The earliest start from `fromMs` on, of work that takes `lengthMs`, outside the quiet hours if that can be. */
export function placeFrom(fromMs: number, lengthMs: number, quiet: readonly QuietHours[]): number {
  let startMs = fromMs;
  for (;;) {
    const inTheWay = clash(startMs, startMs + lengthMs, quiet);
    if (inTheWay === undefined) return startMs;
    startMs = inTheWay.toMs;
    if (startMs - fromMs > MOST_SHIFT_MS) return fromMs;
  }
}

/** The latest end up to `byMs`, of work that takes `lengthMs`, outside the quiet hours if that can be. */
export function placeBefore(byMs: number, lengthMs: number, quiet: readonly QuietHours[]): number {
  let endMs = byMs;
  for (;;) {
    const inTheWay = clash(endMs - lengthMs, endMs, quiet);
    if (inTheWay === undefined) return endMs;
    endMs = inTheWay.fromMs;
    if (byMs - endMs > MOST_SHIFT_MS) return byMs;
  }
}

/** What takes no time is in nobody's way. */
function clash(startMs: number, endMs: number, quiet: readonly QuietHours[]): QuietHours | undefined {
  if (startMs === endMs) return undefined;
  return quiet.find(({ fromMs, toMs }) => startMs < toMs && endMs > fromMs);
}
