import { schedule } from 'node-cron';
import { forgetDrafts } from '../records/drafts.js';
import { closeOverdueTastings } from '../records/tastings.js';
import { DAY_MS } from '../words/moments.js';
import { type DeliveryRun, deliverDue } from './deliver.js';
import { tellManagers } from './tell-managers.js';

export interface SchedulerOptions extends DeliveryRun {
  /** Asked before each look for what is due: nothing is planned or sent while it says no. */
  readonly mayWork?: () => Promise<boolean>;
}

export interface Scheduler {
  /** Does what is due now; a call while another is under way waits for that one. */
  tick(): Promise<void>;
  /** Ends the ticking once the message under way is out. */
  stop(): Promise<void>;
}

const DRAFTS_KEPT_MS = 30 * DAY_MS;
/** Nobody comes back to a table that was laid a week ago; what was answered is counted then. */
const TASTINGS_OPEN_MS = 7 * DAY_MS;
const always = async (): Promise<boolean> => true;

/** Looks every minute for what is due: node-cron supplies the tick, the records supply the memory. */
export function startScheduler(options: SchedulerOptions): Scheduler {
  const { db, application, clock, contents, mayWork = always, onFailure } = options;
  let stopping = false;
  let underWay: Promise<void> | undefined;

  async function work(): Promise<void> {
    try {
      if (!(await mayWork())) return;
      for (const content of Object.values(contents)) await content.plan(db, application, clock());
      await deliverDue(options, () => stopping);
      await tellManagers(options, clock());
      await closeOverdueTastings(db, new Date(clock().getTime() - TASTINGS_OPEN_MS), clock());
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
