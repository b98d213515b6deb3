import { type ResourceLimits, Worker } from 'node:worker_threads';
import { Unavailable } from '../chat/fault.js';
import type { DatabaseLimits } from '../records/pool/limits.js';
import type { Composed } from './deliver.js';
import type { ComposeWeekly } from './weekly-post.js';

/** What the thread is given when it starts. */
export interface Surroundings {
  readonly connectionString: string;
  readonly limits: DatabaseLimits;
}

export interface Assignment {
  readonly id: number;
  readonly community: string;
  readonly until: Date;
  readonly now: Date;
}

export type Outcome =
  | { readonly id: number; readonly composed: Composed }
  | {
      readonly id: number;
      readonly failure: Error;
      /** Where the records could not be used. */
      readonly unavailable: Unavailable['why'] | undefined;
    };

export interface WeeklyWriter {
  /** Rejects when the post could not be composed. */
  readonly compose: ComposeWeekly;
  /** Ends the thread; what is under way is rejected. A post that is asked for afterwards starts another. */
  stop(): Promise<void>;
}

/**
 * A small nursery is swept often, so that pictures, whose memory lies outside the heap, are let go soon: measured over 300
 * posts, the most the process held was 208 MB instead of 450, in the same time. The rest has room for the sums of a
 * very large community.
 */
const LIMITS: ResourceLimits = { maxYoungGenerationSizeMb: 8, maxOldGenerationSizeMb: 512 };

interface Waiting {
  readonly resolve: (composed: Composed) => void;
  readonly reject: (error: Error) => void;
}

/**
 * Composes weekly posts in a thread of its own, started for the first of them and again should it end.
 * @param entry the file the thread runs
 */
export function startWeeklyWriter(
  surroundings: Surroundings,
  entry: URL = new URL('./weekly-worker.js', import.meta.url),
): WeeklyWriter {
  const waiting = new Map<number, Waiting>();
  let thread: Worker | undefined;
  let lastId = 0;

  function start(): Worker {
    const worker = new Worker(entry, { workerData: surroundings, resourceLimits: LIMITS });
    worker.unref();
    worker.on('message', (outcome: Outcome) => {
      const one = waiting.get(outcome.id);
      waiting.delete(outcome.id);
      if ('composed' in outcome) one?.resolve(outcome.composed);
      else one?.reject(failureIn(outcome));
    });
    worker.on('error', end);
    worker.on('exit', () => end(new Error('the thread that writes weekly posts ended')));
    function end(error: Error): void {
      if (thread !== worker) return;
      thread = undefined;
      for (const { reject } of waiting.values()) reject(error);
      waiting.clear();
    }
    return worker;
  }

  return {
    compose(community, until, now) {
      thread ??= start();
      const worker = thread;
      const id = ++lastId;
      return new Promise<Composed>((resolve, reject) => {
        waiting.set(id, { resolve, reject });
        worker.postMessage({ id, community, until, now } satisfies Assignment);
      });
    },
    async stop() {
      await thread?.terminate();
    },
  };
}

const failureIn = ({ failure, unavailable }: Extract<Outcome, { failure: Error }>): Error =>
  unavailable === undefined ? failure : new Unavailable(unavailable, { cause: failure });
