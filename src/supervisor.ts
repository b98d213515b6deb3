import { type ChildProcess, fork } from 'node:child_process';
import { setTimeout as pause } from 'node:timers/promises';

/** Ended in order, or refused by settings that another start would not change. */
const FINAL: readonly (number | null)[] = [0, 2];
const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 60_000;
/** After running so long, whatever ended it is new. */
const RAN_WELL_MS = 10 * 60_000;

export interface Supervised {
  /** The program, and what it is given. */
  readonly file: string;
  readonly args: readonly string[];
  /** Hears of every new start, in one line. */
  readonly say: (line: string) => void;
}

/** How long to wait before another start, after one that waited `beforeMs` (0 for the first) and then ran for `ranMs`. */
export function pauseBeforeStart(beforeMs: number, ranMs: number): number {
  if (beforeMs === 0 || ranMs >= RAN_WELL_MS) return FIRST_PAUSE_MS;
  return Math.min(2 * beforeMs, LONGEST_PAUSE_MS);
}

/**
 * Runs a program and starts it again when it fails or is killed; answers the status to exit with. Signals are passed on to
 * it. It is connected to this process, so that it hears of its end, however that comes.
 */
export async function keepRunning({ file, args, say }: Supervised): Promise<number> {
  let child: ChildProcess | undefined;
  const told = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const)
    process.on(signal, () => {
      told.abort();
      child?.kill(signal);
    });

  let pauseMs = 0;
  for (;;) {
    const begun = performance.now();
    // In a group of its own: what a terminal sends to the whole group would reach it twice.
    child = fork(file, args, { stdio: ['ignore', 'inherit', 'inherit', 'ipc'], detached: true });
    const { code, signal } = await ended(child);
    child = undefined;
    if (told.signal.aborted || FINAL.includes(code)) return code ?? 1;
    pauseMs = pauseBeforeStart(pauseMs, performance.now() - begun);
    const how = signal === null ? `with status ${code}` : `by ${signal}`;
    say(`The bot ended ${how}; starting it again in ${pauseMs / 1000} s.`);
    try {
      await pause(pauseMs, undefined, { signal: told.signal });
    } catch {
      return 0;
    }
  }
}

function ended(
  child: ChildProcess,
): Promise<{ readonly code: number | null; readonly signal: string | null }> {
  return new Promise((resolve) => {
    child.once('exit', (code, signal) => resolve({ code, signal }));
    child.once('error', () => resolve({ code: 1, signal: null }));
  });
}
