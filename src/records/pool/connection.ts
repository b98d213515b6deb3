import type { PostgresCursor, PostgresPoolClient, PostgresQueryResult } from 'kysely';
import type pg from 'pg';
import { endsConnection, failureOf, NoAnswer } from './failures.js';

export interface ConnectionOptions {
  readonly client: pg.PoolClient;
  /** How long one statement may take. */
  readonly answerWithinMs: number;
  /** Told when it broke or had to be given up: the server is ending it, or does not answer. */
  readonly lost: (error: Error) => void;
  readonly released: () => void;
}

/**
 * A connection as it is lent to one who asks. Its statements reject with Unavailable or SavingUnsure where the database
 * could not do them, and with the error of the database where they were wrong. Once broken it is asked nothing more.
 */
export class Connection implements PostgresPoolClient {
  /** Whether it may be lent again. */
  isSound = true;
  readonly #options: ConnectionOptions;
  #brokenBy: Error | undefined;
  #isInTransaction = false;

  constructor(options: ConnectionOptions) {
    this.#options = options;
    // Unheard, it would end the process.
    options.client.on('error', (error) => this.#giveUp(error));
  }

  query<R>(sql: string, parameters: ReadonlyArray<unknown>): Promise<PostgresQueryResult<R>>;
  query<R>(cursor: PostgresCursor<R>): PostgresCursor<R>;
  query<R>(asked: string | PostgresCursor<R>, parameters: ReadonlyArray<unknown> = []) {
    const client: PostgresPoolClient = this.#options.client;
    if (typeof asked !== 'string') return client.query<R>(asked);
    return this.#ask<R>(asked, () => client.query<R>(asked, parameters));
  }

  release(destroy = false): void {
    this.#isInTransaction = false;
    this.#options.client.release(destroy || !this.isSound);
    this.#options.released();
  }

  async #ask<R>(sql: string, send: () => Promise<PostgresQueryResult<R>>): Promise<PostgresQueryResult<R>> {
    // A server rolls back by itself what a broken connection had not committed.
    if (this.#brokenBy && isRollback(sql)) return ROLLED_BACK;
    if (this.#brokenBy) throw failureOf(this.#brokenBy, { unheard: true, isFinal: false });
    const isFinal = isCommit(sql) || (!this.#isInTransaction && isChange(sql));
    try {
      const answer = await within(this.#options.answerWithinMs, send());
      if (isBegin(sql)) this.#isInTransaction = true;
      if (isCommit(sql) || isRollback(sql)) this.#isInTransaction = false;
      return answer;
    } catch (error) {
      if (error instanceof NoAnswer || endsConnection(error)) this.#giveUp(error);
      const unheard = this.#brokenBy !== undefined;
      if (unheard && isRollback(sql)) return ROLLED_BACK;
      throw failureOf(error, { unheard, isFinal });
    }
  }

  #giveUp(error: Error): void {
    if (this.#brokenBy) return;
    this.#brokenBy = error;
    this.isSound = false;
    this.#options.lost(error);
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
