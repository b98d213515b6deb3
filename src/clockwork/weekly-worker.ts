/** Runs in a thread of its own: composes weekly posts, so that statistics and pictures keep nobody waiting for an answer. */
import { constants, getPriority, setPriority } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import { openRecords } from '../records/database.js';
import { composeWeekly } from './weekly-post.js';
import type { Assignment, Outcome } from './weekly-writer.js';

const CONNECTIONS = 4;

// People who wait for an answer come first. Only Linux counts priorities by thread: setpriority(2), "C library/kernel
// differences".
if (process.platform === 'linux') setPriority(Math.max(getPriority(), constants.priority.PRIORITY_LOW));

const db = openRecords(String(workerData), () => {}, CONNECTIONS);

async function outcomeOf({ id, community, until, now }: Assignment): Promise<Outcome> {
  try {
    return { id, composed: await composeWeekly(db, community, until, now) };
  } catch (error) {
    return { id, failure: error instanceof Error ? error : new Error(String(error)) };
  }
}

parentPort?.on('message', async (assignment: Assignment) => {
  parentPort?.postMessage(await outcomeOf(assignment));
});
