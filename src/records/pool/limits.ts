import type pg from 'pg';

/**
 * How long the database may take before a person is told so, and how much of it is used at once. A choice of ours, no
 * source: people wait for an answer, and most statements take a few milliseconds.
 */
export const USUAL_LIMITS = {
  /** Open at once, at most. */
  connections: 8,
  /** For one of them to become free. */
  waitMs: 3000,
  /** For a new one to be made. */
  connectMs: 5000,
  /** For one statement. */
  statementMs: 15_000,
  /** For what somebody else holds locked. */
  lockMs: 5000,
  /** For a transaction that says nothing. */
  idleInTransactionMs: 15_000,
  /**
   * Whether the server is told the last three with every new connection. Poolers that lend a connection for one
   * transaction refuse that.
   */
  toldToServer: true,
};
export type DatabaseLimits = Readonly<typeof USUAL_LIMITS>;

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
