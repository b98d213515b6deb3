import { threadOf } from '../threads/thread.js';
import { type ScatterPicture, scatterPicture } from './scatter-picture.js';
import { type YieldsPicture, yieldsPicture } from './yields-picture.js';

/** Draws pictures as PNG; rejects when one could not be drawn. */
export interface Pictures {
  yields(picture: YieldsPicture): Promise<Uint8Array>;
  scatter(picture: ScatterPicture): Promise<Uint8Array>;
}

/** Draws in the thread that asks. */
export const drawnHere: Pictures = { yields: yieldsPicture, scatter: scatterPicture };

export type Drawing =
  | { readonly kind: 'yields'; readonly picture: YieldsPicture }
  | { readonly kind: 'scatter'; readonly picture: ScatterPicture };

/** Drawn in tenths of a second when all is well; longer than this nobody waits. */
const LIMIT_MS = 20_000;

interface Drawer extends Pictures {
  /** Ends the thread; what is being drawn is rejected. */
  stop(): Promise<void>;
}

/**
 * Draws in a thread of its own, one picture after another, so that nobody waits for an answer meanwhile.
 * @param entry the file the thread runs
 */
export function startDrawer(
  entry: URL = new URL('./drawing-worker.js', import.meta.url),
  limitMs = LIMIT_MS,
): Drawer {
  const thread = threadOf<Drawing, Uint8Array>(entry, limitMs);
  return {
    yields: (picture) => thread.ask({ kind: 'yields', picture }),
    scatter: (picture) => thread.ask({ kind: 'scatter', picture }),
    stop: () => thread.stop(),
  };
}
