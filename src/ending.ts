import type { Logger } from 'pino';

/** How the process comes to its end. */
export interface Ending {
  /** Resolves to the status to exit with, once something ends the process. */
  readonly status: Promise<number>;
  /** Ends it because it cannot go on. */
  fail(why: string): void;
  /** From now on SIGTERM, SIGINT, SIGHUP and the end of the process that started it end it; a second signal does so at once. */
  heedSignals(): void;
  /** To be called when nothing is left to be finished; what is only waited for is then let go. */
  finished(): void;
}

/** What is under way may take so long to finish when something failed. */
const FINISH_MS = 10_000;

/**
 * Watches for the end. A failure that nothing was ready for, such as a packet that the client library cannot read, leaves
 * the process in a state that nobody knows: it is said in one line, and the process ends in order.
 */
export function watchForEnd(log: Logger): Ending {
  let status: number | undefined;
  let tell: (status: number) => void = () => {};
  const told = new Promise<number>((resolve) => {
    tell = resolve;
  });

  function end(with_: number): void {
    status ??= with_;
    tell(status);
  }

  function failWith(logged: () => void): void {
    logged();
    if (status !== undefined) return;
    end(1);
    setTimeout(() => process.exit(1), FINISH_MS).unref();
  }

  const unforeseen = (error: unknown): void =>
    failWith(() => log.fatal({ error }, 'something failed that nothing was ready for; ending'));
  process.on('uncaughtException', unforeseen);
  process.on('unhandledRejection', unforeseen);

  return {
    status: told,
    fail: (why) => failWith(() => log.fatal(why)),
    heedSignals() {
      for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const)
        process.once(signal, () => {
          end(0);
          process.once(signal, () => process.exit(130));
        });
      process.once('disconnect', () => end(0));
      // Listening alone would keep the process running.
      process.channel?.unref();
    },
    finished() {
      if (status !== undefined) process.exit(status);
    },
  };
}
