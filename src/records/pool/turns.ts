import { Unavailable } from '../../chat/fault.js';

export interface Turns {
  /** Resolves when it is one's turn; rejects with Unavailable when it does not come within `waitMs`. */
  take(waitMs: number): Promise<void>;
  giveBack(): void;
  /** How many have a turn, and how many wait for one. */
  counts(): { readonly taken: number; readonly waiting: number };
}

/** Lets so many at once go ahead and the others wait, the first come first. */
export function turnsFor(atOnce: number): Turns {
  let free = atOnce;
  const waiting = new Set<() => void>();
  return {
    async take(waitMs) {
      if (free > 0) {
        free--;
        return;
      }
      await new Promise<void>((resolve, reject) => {
        const goAhead = () => {
          clearTimeout(timer);
          resolve();
        };
        const timer = setTimeout(() => {
          waiting.delete(goAhead);
          reject(new Unavailable('busy', { cause: new Error(`no connection was free for ${waitMs} ms`) }));
        }, waitMs);
        waiting.add(goAhead);
      });
    },
    giveBack() {
      const [next] = waiting;
      if (next === undefined) {
        free++;
        return;
      }
      waiting.delete(next);
      next();
    },
    counts: () => ({ taken: atOnce - free, waiting: waiting.size }),
  };
}
