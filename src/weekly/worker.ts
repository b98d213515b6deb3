/** Runs in a thread of its own: composes weekly posts, so that statistics and pictures keep nobody waiting for an answer. */
import { workerData } from 'node:worker_threads';
import { Unavailable } from '../chat/fault.js';
import { drawnHere } from '../pictures/pictures.js';
import { openRecords } from '../records/database.js';
import { patientLimits } from '../records/pool/limits.js';
import { answerQuestions } from '../threads/answer-questions.js';
import { composeWeekly } from './post.js';
import type { Assignment, WriterData, Writing } from './writer.js';

const { connectionString, limits }: WriterData = workerData;
const db = openRecords(connectionString, () => {}, patientLimits(limits));

answerQuestions<Assignment, Writing>(async ({ community, until, now }) => {
  let missed: unknown;
  const drawing = {
    pictures: drawnHere,
    missed: (error: unknown) => {
      missed = error;
    },
  };
  try {
    return { kind: 'composed', composed: await composeWeekly(db, community, until, now, drawing), missed };
  } catch (error) {
    // Of an error between threads only the words remain.
    if (error instanceof Unavailable) return { kind: 'unavailable', why: error.why, cause: error };
    throw error;
  }
});
