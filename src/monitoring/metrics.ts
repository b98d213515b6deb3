import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { DeliveriesDue } from './health.js';

/** Connections to the database, and who waits for one. */
export interface PoolCounts {
  readonly inUse: number;
  readonly idle: number;
  readonly waiting: number;
}

/** What the bot tells of while it works. Nothing of it holds what people typed. */
export interface Metrics {
  /** `asked` is one of the bot's own commands or buttons. */
  answered(met: { readonly asked: string; readonly outcome: string; readonly ms: number }): void;
  /** Somebody asked too much, by whose limit. */
  limited(by: 'member' | 'community'): void;
  delivered(how: 'sent' | 'closed' | 'failed'): void;
  /** All of it, as Prometheus reads it; `due` is left out where it cannot be told. */
  text(due: DeliveriesDue | undefined): Promise<string>;
  readonly contentType: string;
}

/** Seconds; 1.5 is when a waiting notice is shown, 3 is how long Discord waits for it. */
const ANSWER_SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 1.5, 3, 10, 30];

/** Metrics in a registry of their own, those of the process and its event loop among them. */
export function openMetrics(pool: () => PoolCounts, clock: () => Date): Metrics {
  const register = new Registry();
  const registers = [register];
  collectDefaultMetrics({ register });

  const answers = new Histogram({
    name: 'tallow_answer_seconds',
    help: 'From a request to its answer, by command or button and by what the answer was',
    labelNames: ['asked', 'outcome'],
    buckets: ANSWER_SECONDS,
    registers,
  });
  const limited = new Counter({
    name: 'tallow_limited_total',
    help: 'Requests refused because somebody asked too much, by whose limit it was',
    labelNames: ['by'],
    registers,
  });
  const deliveries = new Counter({
    name: 'tallow_deliveries_total',
    help: 'Messages nobody asked for just now, by how it went: failed ones are tried again',
    labelNames: ['how'],
    registers,
  });
  const due = new Gauge({
    name: 'tallow_deliveries_due',
    help: 'Messages that are due and not sent yet; late: for longer than it takes when all is well',
    labelNames: ['which'],
    registers,
  });
  const oldest = new Gauge({
    name: 'tallow_oldest_due_seconds',
    help: 'How long the oldest of them has been due; 0 where there is none',
    registers,
  });
  function showDue(now: DeliveriesDue | undefined): void {
    // Nothing is better than a figure from before.
    due.reset();
    oldest.remove();
    if (now === undefined) return;
    due.set({ which: 'all' }, now.due);
    due.set({ which: 'late' }, now.late);
    oldest.set(now.oldestDueAt ? (clock().getTime() - now.oldestDueAt.getTime()) / 1000 : 0);
  }
  new Gauge({
    name: 'tallow_pool_connections',
    help: 'Connections to the database in use and idle, and who waits for one',
    labelNames: ['state'],
    registers,
    collect() {
      const { inUse, idle, waiting } = pool();
      this.set({ state: 'in use' }, inUse);
      this.set({ state: 'idle' }, idle);
      this.set({ state: 'waiting' }, waiting);
    },
  });

  return {
    answered: ({ asked, outcome, ms }) => answers.observe({ asked, outcome }, ms / 1000),
    limited: (by) => limited.inc({ by }),
    delivered: (how) => deliveries.inc({ how }),
    text(now) {
      showDue(now);
      return register.metrics();
    },
    contentType: register.contentType,
  };
}
