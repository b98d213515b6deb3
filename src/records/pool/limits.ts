import type pg from 'pg';

/** How long the database may take before a person is told so, and how much of it is used at once. */
export interface DatabaseLimits {
  /** Open at once, at most. */
  readonly connections: number;
  /** For one of them to become free. */
  readonly waitMs: number;
  /** For a new one to be made. */
  readonly connectMs: number;
  /** For one statement. */
  readonly statementMs: number;
  /** For what somebody else holds locked. */
  readonly lockMs: number;
  /** For a transaction that says nothing. */
  readonly idleInTransactionMs: number;
  /**
   * Whether the server is told the last three with every new connection. Poolers that lend a connection for one
   * transaction refuse that.
   */
  readonly toldToServer: boolean;
}

/** A choice of ours, no source: people wait for an answer, and most statements take a few milliseconds. */
export const USUAL_LIMITS: DatabaseLimits = {
  connections: 8,
  waitMs: 3000,
  connectMs: 5000,
  statementMs: 15_000,
  lockMs: 5000,
  idleInTransactionMs: 15_000,
  toldToServer: true,
};

/** A server that keeps its limits says so itself within this; after it, it is taken to hang. */
const GRACE_MS = 2000;

/** After this without an answer to one statement the connection is given up. */
export const answerWithinMs = ({ statementMs }: DatabaseLimits): number => statementMs + GRACE_MS;

/** The limits as the client is told of them; those on the way to the server go along with every connection. */
export const clientLimits = (limits: DatabaseLimits): pg.ClientConfig => ({
  connectionTimeoutMillis: limits.connectMs,
  ...(limits.toldToServer
    ? {
        statement_timeout: limits.statementMs,
        lock_timeout: limits.lockMs,
        idle_in_transaction_session_timeout: limits.idleInTransactionMs,
      }
    : {}),
});

/** For what nobody waits for, like composing a weekly post: the others come first. */
export const patientLimits = (limits: DatabaseLimits): DatabaseLimits => ({
  ...limits,
  connections: Math.min(limits.connections, 4),
  waitMs: Math.max(limits.waitMs, 60_000),
  statementMs: Math.max(limits.statementMs, 60_000),
});
