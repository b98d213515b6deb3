import { getPriority, setPriority } from 'node:os';
import { parentPort } from 'node:worker_threads';
import type { Answered, Called } from './thread.js';

/** Nice values end here: sched(7), "The nice value". */
const LOWEST = 19;

/** Other threads that want a processor get ten times as much of it: sched(7), "The nice value". */
const NICER = 10;

/**
 * In a thread that `threadOf` started: answers whatever is asked. People who wait for an answer of another thread come
 * first.
 */
export function answerQuestions<Question, Answer>(answer: (question: Question) => Promise<Answer>): void {
  // Only Linux counts priorities by thread: setpriority(2), "C library/kernel differences".
  if (process.platform === 'linux') setPriority(Math.min(getPriority() + NICER, LOWEST));

  async function answered({ id, question }: Called<Question>): Promise<Answered<Answer>> {
    try {
      return { id, answer: await answer(question) };
    } catch (error) {
      return { id, failure: error instanceof Error ? error : new Error(String(error)) };
    }
  }

  parentPort?.on('message', async (called: Called<Question>) => {
    parentPort?.postMessage(await answered(called));
  });
}
