import pg from 'pg';
import { SavingUnsure, Unavailable } from '../../chat/fault.js';

/** What a statement that failed was to the person who waits. */
export interface Circumstances {
  /** Whether the connection broke over it: what was sent may have been done all the same. */
  readonly unheard: boolean;
  /** Whether something is stored for good once the statement is done: a commit, or a change outside a transaction. */
  readonly isFinal: boolean;
}

/** Nobody heard of a statement for too long; the connection is given up. */
export class NoAnswer extends Error {
  override readonly name = 'NoAnswer';
  constructor(afterMs: number) {
    super(`the database did not answer for ${afterMs} ms`);
  }
}

/**
 * What a failed statement is to those above: Unavailable or SavingUnsure where the database could not do it, with the
 * failure as its cause; the error itself where the statement was wrong.
 */
export function failureOf(error: unknown, { unheard, isFinal }: Circumstances): unknown {
  if (isFinal && unheard) return new SavingUnsure({ cause: error });
  if (error instanceof NoAnswer) return new Unavailable('busy', { cause: error });
  const why = reasonFor(sqlStateOf(error));
  if (why !== undefined) return new Unavailable(why, { cause: error });
  return unheard ? new Unavailable('away', { cause: error }) : error;
}

/** What it is to those above that no connection could be made. */
export const failedConnect = (error: unknown): Unavailable =>
  new Unavailable(isFull(error) ? 'busy' : 'away', { cause: error });

/** Whether the server is there and takes no more connections just now. */
export const isFull = (error: unknown): boolean => sqlStateOf(error) === '53300';

/** Whether the server ends the connection with this error. */
export function endsConnection(error: unknown): error is pg.DatabaseError {
  if (!(error instanceof pg.DatabaseError)) return false;
  const isGrave = error.severity === 'FATAL' || error.severity === 'PANIC';
  return isGrave || isOutOfReach(error.code);
}

/** Codes as in PostgreSQL 17, appendix A, “PostgreSQL Error Codes”. */
function reasonFor(state: string | undefined): Unavailable['why'] | undefined {
  switch (state) {
    case '57014': // query_canceled: took too long
    case '55P03': // lock_not_available
    case '25P03': // idle_in_transaction_session_timeout
    case '40001': // serialization_failure
    case '40P01': // deadlock_detected
    case '53000': // insufficient_resources
    case '53200': // out_of_memory
    case '53300': // too_many_connections
      return 'busy';
    case '25006': // read_only_sql_transaction
    case '53100': // disk_full
      return 'read-only';
    default:
      return isOutOfReach(state) ? 'away' : undefined;
  }
}

/** What tells errors apart: the SQLSTATE of Postgres, the code of the system or of Node. */
export function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}

/** Class 08, connection exceptions, and a server that is starting, stopping or crashed. */
const isOutOfReach = (state = ''): boolean => state.startsWith('08') || /^57P0[1235]$/.test(state);

const sqlStateOf = (error: unknown): string | undefined =>
  error instanceof pg.DatabaseError ? error.code : undefined;
