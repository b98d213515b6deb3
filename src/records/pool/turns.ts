import { Unavailable } from '../../chat/fault.js';

/** Lets so many at once go ahead and the others wait, the first come first. */
export function turnsFor(atOnce: number) {
  let taken = 0;
  const waiting = new Set<() => void>();
  return {
    /** Resolves when it is one's turn; rejects with Unavailable when it does not come within `waitMs`. */
    async take(waitMs: number): Promise<void> {
      if (taken < atOnce) {
        taken++;
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
    /** One's turn goes to the next who waits. */
    giveBack(): void {
      const [next] = waiting;
      if (next === undefined) {
        taken--;
        return;
      }
      waiting.delete(next);
      next();
    },
    counts: () => ({ taken, waiting: waiting.size }),
  };
}
