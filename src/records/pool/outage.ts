import { setTimeout as pause } from 'node:timers/promises';

const FIRST_LOOK_MS = 100;
const LONGEST_PAUSE_MS = 500;

/**
 * Knows whether the database is out of reach. While it is, one `look` at a time finds out whether it is back.
 * @param look rejects as long as it cannot be reached
 */
export function watchForOutage(
  look: () => Promise<void>,
  hear: { readonly away: (cause: unknown) => void; readonly back: () => void },
) {
  let cause: unknown;
  const stopping = new AbortController();

  async function lookUntilBack(): Promise<void> {
    for (
      let pauseMs = FIRST_LOOK_MS;
      cause !== undefined;
      pauseMs = Math.min(2 * pauseMs, LONGEST_PAUSE_MS)
    ) {
      // A program that has nothing else to do may end.
      await pause(pauseMs, undefined, { ref: false, signal: stopping.signal });
      cause = await look().catch((error: unknown) => error);
    }
    hear.back();
  }

  return {
    /** Why the database is out of reach, while it is. */
    get cause() {
      return cause;
    },
    /** Notes that it could not be reached; from then on it is looked for until it is back. */
    begin(reason: unknown): void {
      if (cause !== undefined || stopping.signal.aborted) return;
      cause = reason;
      hear.away(reason);
      // Fails when it is stopped, and by nothing else.
      lookUntilBack().catch(() => {});
    },
    stop: () => stopping.abort(),
  };
}
