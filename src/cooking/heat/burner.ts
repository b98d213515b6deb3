/** How much of a burner's heat ends up in the pot. */

import { type Assumption, assumed } from '../../safety/sources.js';
import { assertPositive } from '../../words/numbers.js';
import { percentRangeWords, percentWords } from '../../words/yield-words.js';

export type BurnerKind = 'gas' | 'electric' | 'induction' | 'outdoor gas';

export interface Burner {
  /** Rated power at full, in watts. */
  readonly powerW: number;
  readonly kind?: BurnerKind;
}

interface Efficiency {
  readonly low: number;
  readonly typical: number;
  readonly high: number;
}

/** Shares of the rated power, as cooking-appliance tests report them; from memory. */
const EFFICIENCY: Readonly<Record<BurnerKind, Efficiency>> = {
  gas: { low: 0.3, typical: 0.4, high: 0.5 },
  electric: { low: 0.65, typical: 0.72, high: 0.8 },
  induction: { low: 0.75, typical: 0.84, high: 0.9 },
  'outdoor gas': { low: 0.2, typical: 0.3, high: 0.45 },
};

const OF_ANY_KIND: Efficiency = { low: 0.25, typical: 0.5, high: 0.9 };

/** Throws RangeError when the power is not a finite number above 0. */
export function efficiencyOf({ powerW, kind }: Burner): Efficiency {
  assertPositive({ powerW });
  return kind === undefined ? OF_ANY_KIND : EFFICIENCY[kind];
}

/**
 * The power in watts that keeps a pot at a simmer: what leaves it as steam and through its outside, and what misses it;
 * never more than full. A gas burner gives 1,000 W for 300 W of steam and 100 W lost.
 */
export function simmerPowerW(
  burner: Burner,
  { steamW, lossW }: { readonly steamW: number; readonly lossW: number },
): number {
  return Math.min(burner.powerW, (steamW + lossW) / efficiencyOf(burner).typical);
}

export function efficiencyAssumption(burner: Burner): Assumption {
  const { low, typical, high } = efficiencyOf(burner);
  const name = burner.kind === undefined ? 'A burner of unknown kind' : `A burner (${burner.kind})`;
  return assumed(
    `${name} puts about ${percentWords(typical)} of its heat into the pot, ${percentRangeWords(low, high)}.`,
  );
}
