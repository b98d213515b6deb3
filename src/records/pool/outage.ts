export interface Outage {
  /** Why the database is out of reach, while it is. */
  readonly cause: unknown;
  /** Notes that it could not be reached; from then on it is looked for until it is back. */
  begin(cause: unknown): void;
  stop(): void;
}

const FIRST_LOOK_MS = 100;
const LONGEST_PAUSE_MS = 500;

/**
 * Knows whether the database is out of reach. While it is, one `look` at a time finds out whether it is back.
 * @param look rejects as long as it cannot be reached
 */
export function watchForOutage(
  look: () => Promise<void>,
  hear: { readonly away: (cause: unknown) => void; readonly back: () => void },
): Outage {
  let cause: unknown;
  let next: NodeJS.Timeout | undefined;
  let isStopped = false;

  const lookAfter = (pauseMs: number): void => {
    if (isStopped) return;
    next = setTimeout(async () => {
      try {
        await look();
        cause = undefined;
        hear.back();
      } catch (error) {
        cause = error;
        lookAfter(Math.min(2 * pauseMs, LONGEST_PAUSE_MS));
      }
    }, pauseMs);
    // A program that has nothing else to do may end.
    next.unref();
  };

  return {
    get cause() {
      return cause;
    },
    begin(reason) {
      if (cause !== undefined || isStopped) return;
      cause = reason;
      hear.away(reason);
      lookAfter(FIRST_LOOK_MS);
    },
    stop() {
      isStopped = true;
      clearTimeout(next);
    },
  };
}
