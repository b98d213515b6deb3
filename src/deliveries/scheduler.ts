import { schedule } from 'node-cron';
import type { Outbox } from '../chat/platform.js';
import type { Records } from '../records/database.js';
import type { Delivery } from '../records/deliveries.js';
import { forgetDrafts } from '../records/drafts.js';
import { type Compose, deliverDue } from './deliver.js';
import { bringBackAppointments } from './far-appointments.js';
import { planWeeklyPosts } from './plan.js';
import { tellManagers } from './tell-managers.js';

export interface SchedulerOptions {
  readonly db: Records;
  readonly outbox: Outbox;
  /** The bot whose messages are sent; others that share the records send theirs. */
  readonly application: string;
  /** Names this process among those of that bot. */
  readonly worker: string;
  readonly clock: () => Date;
  readonly compose: Compose;
  /** Asked before each look for what is due: nothing is planned or sent while it says no. */
  readonly mayWork?: () => Promise<boolean>;
  readonly onFailure: (error: unknown, doing: string) => void;
}

export interface Scheduler {
  /** Does what is due now; a call while another is under way waits for that one. */
  tick(): Promise<void>;
  /** Ends the ticking once the message under way is out. */
  stop(): Promise<void>;
}

const DRAFTS_KEPT_MS = 30 * 86_400_000;
const always = async (): Promise<boolean> => true;

/** Looks every minute for what is due: node-cron supplies the tick, the records supply the memory. */
export function startScheduler(options: SchedulerOptions): Scheduler {
  const { db, outbox, application, worker, clock, compose, mayWork = always, onFailure } = options;
  let stopping = false;
  let underWay: Promise<void> | undefined;

  async function work(): Promise<void> {
    try {
      if (!(await mayWork())) return;
      await bringBackAppointments(db, application, clock());
      await planWeeklyPosts(db, application, clock());
      await deliverDue(
        {
          db,
          outbox,
          application,
          worker,
          clock,
          compose: ({ community, dueAt }, now) => compose(community, dueAt, now),
          onFailure: (error, delivery: Delivery) =>
            onFailure(error, `sending ${delivery.kind} ${delivery.about} of ${delivery.community}`),
        },
        () => stopping,
      );
      await tellManagers({ db, outbox, application, onFailure }, clock());
      await forgetDrafts(db, new Date(clock().getTime() - DRAFTS_KEPT_MS));
    } catch (error) {
      onFailure(error, 'looking for what is due');
    }
  }

  async function tick(): Promise<void> {
    underWay ??= work().finally(() => {
      underWay = undefined;
    });
    await underWay;
  }

  const task = schedule('* * * * *', tick, { name: 'what is due' });
  return {
    tick,
    async stop() {
      stopping = true;
      await task.destroy();
      await underWay;
    },
  };
}
