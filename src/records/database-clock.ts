import { sql } from 'kysely';
import type { Records } from './database.js';

/** Clocks that are further apart than this are not merely a little wrong. */
const MOST_APART_MS = 86_400_000;

/** What the database takes the time to be. */
export async function databaseNow(db: Records): Promise<Date> {
  const { rows } = await sql<{ now: Date }>`select now()`.execute(db);
  const [row] = rows;
  if (row === undefined) throw new Error('the database did not say what time it is');
  return row.now;
}

/** In words, when two clocks are more than a day apart. */
export function clockProblem(machineNow: Date, atDatabase: Date): string | undefined {
  if (Math.abs(machineNow.getTime() - atDatabase.getTime()) <= MOST_APART_MS) return undefined;
  return `This machine’s clock says ${minuteOf(machineNow)} and the database’s ${minuteOf(atDatabase)}. Put the wrong one right.`;
}

const minuteOf = (at: Date): string => `${at.toISOString().slice(0, 16).replace('T', ' ')} UTC`;
