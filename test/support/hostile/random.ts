import { uniform } from '../../statistics/seeded.js';

/** Choices that are the same at every run of a seed. */
export interface Random {
  /** True so often out of one. */
  chance(share: number): boolean;
  /** A whole number from 0 to below `end`. */
  below(end: number): number;
  pick<T>(from: readonly T[]): T;
}

export function randomOf(seed: number): Random {
  const next = uniform(seed);
  const below = (end: number) => Math.floor(next() * end);
  return {
    chance: (share) => next() < share,
    below,
    pick: (from) => {
      const [picked] = from.slice(below(from.length));
      if (picked === undefined) throw new RangeError('there is nothing to pick from');
      return picked;
    },
  };
}
