import type { Records } from '../records/database.js';
import { clockProblem, databaseNow } from '../records/database-clock.js';

/** Hears when the clock goes wrong, in words, and when it is right again. */
export interface ClockHeard {
  readonly wrong: (problem: string) => void;
  readonly right: () => void;
}

/** Whether this machine's clock and the database's agree well enough to go by; tells of a change, not of every look. */
export function clockCheck(db: Records, clock: () => Date, heard: ClockHeard): () => Promise<boolean> {
  let wasRight = true;
  return async () => {
    const problem = clockProblem(clock(), await databaseNow(db));
    const isRight = problem === undefined;
    if (problem !== undefined && wasRight) heard.wrong(problem);
    if (isRight && !wasRight) heard.right();
    wasRight = isRight;
    return isRight;
  };
}
