import { Unavailable } from '../chat/fault.js';
import type { Composed } from '../deliveries/content.js';
import type { DatabaseLimits } from '../records/pool/limits.js';
import { threadOf } from '../threads/thread.js';
import type { Compose } from './post.js';

/** What the thread is given when it starts. */
export interface WriterData {
  readonly connectionString: string;
  readonly limits: DatabaseLimits;
}

export interface Assignment {
  readonly community: string;
  readonly until: Date;
  readonly now: Date;
}

export type Writing =
  | { readonly kind: 'composed'; readonly composed: Composed }
  /** The records could not be used. */
  | { readonly kind: 'unavailable'; readonly why: Unavailable['why']; readonly cause: Error };

export interface WeeklyWriter {
  /** Rejects when the post could not be composed. */
  readonly compose: Compose;
  /** Ends the thread; what is under way is rejected. A post that is asked for afterwards starts another. */
  stop(): Promise<void>;
}

/**
 * Composes weekly posts in a thread of its own.
 * @param entry the file the thread runs
 */
export function startWeeklyWriter(
  surroundings: WriterData,
  entry: URL = new URL('./worker.js', import.meta.url),
): WeeklyWriter {
  const thread = threadOf<Assignment, Writing>(entry, surroundings);
  return {
    async compose(community, until, now) {
      const outcome = await thread.ask({ community, until, now });
      if (outcome.kind === 'composed') return outcome.composed;
      throw new Unavailable(outcome.why, { cause: outcome.cause });
    },
    stop: () => thread.stop(),
  };
}
