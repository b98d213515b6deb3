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
  /** `missed` is what kept a picture from being drawn. */
  | { readonly kind: 'composed'; readonly composed: Composed; readonly missed: unknown }
  /** The records could not be used. */
  | { readonly kind: 'unavailable'; readonly why: Unavailable['why']; readonly cause: Error };

export interface WeeklyWriter {
  /** Rejects when the post could not be composed. */
  readonly compose: Compose;
  /** Ends the thread; what is under way is rejected. A post that is asked for afterwards starts another. */
  stop(): Promise<void>;
}

/** Some seconds for a large community; less than the claim of a delivery lasts. */
const LIMIT_MS = 120_000;

/**
 * Composes weekly posts in a thread of its own.
 * @param missed hears why a post is without its picture
 * @param entry the file the thread runs
 */
export function startWeeklyWriter(
  surroundings: WriterData,
  missed: (error: unknown) => void,
  entry: URL = new URL('./worker.js', import.meta.url),
): WeeklyWriter {
  const thread = threadOf<Assignment, Writing>(entry, LIMIT_MS, surroundings);
  return {
    async compose(community, until, now) {
      const outcome = await thread.ask({ community, until, now });
      if (outcome.kind === 'unavailable') throw new Unavailable(outcome.why, { cause: outcome.cause });
      if (outcome.missed !== undefined) missed(outcome.missed);
      return outcome.composed;
    },
    stop: () => thread.stop(),
  };
}
