import { type ResourceLimits, Worker } from 'node:worker_threads';

export interface Called<Question> {
  readonly id: number;
  readonly question: Question;
}

export type Answered<Answer> =
  | { readonly id: number; readonly answer: Answer }
  | { readonly id: number; readonly failure: Error };

/** Work in a thread of its own, started for the first question and again should it end, by itself or by taking too long. */
interface Thread<Question, Answer> {
  /** Rejects when the thread could not answer, took too long or ended meanwhile. */
  ask(question: Question): Promise<Answer>;
  /** Ends the thread; what is under way is rejected. A question that is asked afterwards starts another. */
  stop(): Promise<void>;
}

/**
 * A small nursery is swept often, so that pictures, whose memory lies outside the heap, are let go soon: measured over 300
 * weekly posts, the most the process held was 208 MB instead of 450, in the same time. The rest has room for the sums of
 * a very large community.
 */
const LIMITS: ResourceLimits = { maxYoungGenerationSizeMb: 8, maxOldGenerationSizeMb: 512 };

interface Waiting<Answer> {
  readonly resolve: (answer: Answer) => void;
  readonly reject: (error: Error) => void;
  readonly timer: NodeJS.Timeout;
}

/**
 * @param entry the file the thread runs; it calls `answerQuestions`
 * @param limitMs how long a question may take, what was asked before it included. Then the thread is ended and what waits
 * for it rejected: it may hang, or get no processor.
 * @param settings what the thread is given when it starts
 */
export function threadOf<Question, Answer>(
  entry: URL,
  limitMs: number,
  settings?: unknown,
): Thread<Question, Answer> {
  const name = `the thread of ${entry.pathname.split('/').at(-1)}`;
  const waiting = new Map<number, Waiting<Answer>>();
  let thread: Worker | undefined;
  let lastId = 0;

  function start(): Worker {
    const worker = new Worker(entry, { workerData: settings, resourceLimits: LIMITS });
    worker.unref();
    worker.on('message', (answered: Answered<Answer>) => {
      const one = waiting.get(answered.id);
      waiting.delete(answered.id);
      clearTimeout(one?.timer);
      if ('answer' in answered) one?.resolve(answered.answer);
      else one?.reject(answered.failure);
    });
    worker.on('error', (error) => giveUp(worker, error));
    worker.on('exit', () => giveUp(worker, new Error(`${name} ended`)));
    return worker;
  }

  /** Rejects what waits for a worker, whose place is free for another. */
  function giveUp(worker: Worker, error: Error): void {
    if (thread !== worker) return;
    thread = undefined;
    for (const { reject, timer } of waiting.values()) {
      clearTimeout(timer);
      reject(error);
    }
    waiting.clear();
  }

  return {
    ask(question) {
      thread ??= start();
      const worker = thread;
      const id = ++lastId;
      return new Promise<Answer>((resolve, reject) => {
        const timer = setTimeout(() => {
          giveUp(worker, new Error(`${name} took longer than ${limitMs / 1000} s`));
          void worker.terminate();
        }, limitMs);
        waiting.set(id, { resolve, reject, timer });
        worker.postMessage({ id, question } satisfies Called<Question>);
      });
    },
    async stop() {
      await thread?.terminate();
    },
  };
}
