/** Runs in a thread of its own: composes weekly posts, so that statistics and pictures keep nobody waiting for an answer. */
import { constants, getPriority, setPriority } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import { Unavailable } from '../chat/fault.js';
import { openRecords } from '../records/database.js';
import { patientLimits } from '../records/pool/limits.js';
import { composeWeekly } from './weekly-post.js';
import type { Assignment, Outcome, Surroundings } from './weekly-writer.js';

// People who wait for an answer come first. Only Linux counts priorities by thread: setpriority(2), "C library/kernel
// differences".
if (process.platform === 'linux') setPriority(Math.max(getPriority(), constants.priority.PRIORITY_LOW));

const { connectionString, limits }: Surroundings = workerData;
const db = openRecords(connectionString, () => {}, patientLimits(limits));

async function outcomeOf({ id, community, until, now }: Assignment): Promise<Outcome> {
  try {
    return { id, composed: await composeWeekly(db, community, until, now) };
  } catch (error) {
    // Of an error between threads only the words remain.
    const unavailable = error instanceof Unavailable ? error.why : undefined;
    return { id, failure: error instanceof Error ? error : new Error(String(error)), unavailable };
  }
}

parentPort?.on('message', async (assignment: Assignment) => {
  parentPort?.postMessage(await outcomeOf(assignment));
});
