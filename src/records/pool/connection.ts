import type { PostgresCursor, PostgresPoolClient, PostgresQueryResult } from 'kysely';
import type pg from 'pg';
import { endsConnection, failureOf, NoAnswer } from './failures.js';

export interface Lending {
  readonly client: pg.PoolClient;
  /** How long one statement may take. */
  readonly answerWithinMs: number;
  /** What the connection broke with, once it has. */
  readonly brokenBy: () => Error | undefined;
  /** Told when it has to be given up: the server is ending it, or does not answer. */
  readonly giveUp: (error: Error) => void;
  /** Gives the client back to the pool, or has it destroyed. */
  readonly giveBack: (destroy: boolean) => void;
}

/**
 * A connection lent to one who asks. Its statements reject with Unavailable or SavingUnsure where the database could not
 * do them, and with the error of the database where they were wrong. Once broken it is asked nothing more.
 */
export class LentClient implements PostgresPoolClient {
  readonly #lending: Lending;
  #isInTransaction = false;

  constructor(lending: Lending) {
    this.#lending = lending;
  }

  query<R>(sql: string, parameters: ReadonlyArray<unknown>): Promise<PostgresQueryResult<R>>;
  query<R>(cursor: PostgresCursor<R>): PostgresCursor<R>;
  query<R>(asked: string | PostgresCursor<R>, parameters: ReadonlyArray<unknown> = []) {
    const client: PostgresPoolClient = this.#lending.client;
    if (typeof asked !== 'string') return client.query<R>(asked);
    return this.#ask<R>(asked, () => client.query<R>(asked, parameters));
  }

  release(destroy = false): void {
    this.#lending.giveBack(destroy || this.#lending.brokenBy() !== undefined);
  }

  async #ask<R>(sql: string, send: () => Promise<PostgresQueryResult<R>>): Promise<PostgresQueryResult<R>> {
    const { answerWithinMs, brokenBy, giveUp } = this.#lending;
    const former = brokenBy();
    // A server rolls back by itself what a broken connection had not committed.
    if (former && isRollback(sql)) return ROLLED_BACK;
    if (former) throw failureOf(former, { unheard: true, isFinal: false });
    const isFinal = isCommit(sql) || (!this.#isInTransaction && isChange(sql));
    try {
      const answer = await within(answerWithinMs, send());
      if (isBegin(sql)) this.#isInTransaction = true;
      if (isCommit(sql) || isRollback(sql)) this.#isInTransaction = false;
      return answer;
    } catch (error) {
      if (error instanceof NoAnswer || endsConnection(error)) giveUp(error);
      const unheard = brokenBy() !== undefined;
      if (unheard && isRollback(sql)) return ROLLED_BACK;
      throw failureOf(error, { unheard, isFinal });
    }
  }
}

const ROLLED_BACK: PostgresQueryResult<never> = { command: 'ROLLBACK', rowCount: 0, rows: [] };

const isBegin = (sql: string): boolean => /^\s*(begin|start transaction)\b/i.test(sql);
const isCommit = (sql: string): boolean => /^\s*commit\b/i.test(sql);
const isRollback = (sql: string): boolean => /^\s*rollback\s*$/i.test(sql);

/** Whether a statement stores something; values never stand in its text. */
const isChange = (sql: string): boolean =>
  /^\s*(insert|update|delete|merge)\b/i.test(sql) ||
  /^\s*with\b.*\b(insert into|delete from|merge into|update\s+\S+\s+(as\s+\S+\s+)?set)\b/is.test(sql);

async function within<T>(ms: number, work: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new NoAnswer(ms)), ms);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
