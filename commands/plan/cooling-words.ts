import { type CoolingWay, FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import type { CoolingPlan } from '../../src/cooking/cooling/cooling-plan.js';
import {
  countWords,
  lengthWords,
  minutesWords,
  temperatureWords,
  type Units,
} from '../../src/words/amount-words.js';

const WAY_WORDS: Readonly<Record<CoolingWay, string>> = {
  counter: 'on the counter',
  refrigerator: 'in the refrigerator',
  'ice-bath': 'in an ice bath',
  'stirred-ice-bath': 'in an ice bath, stirring',
};

const PAN_WORDS = '9 by 13 in (23 by 33 cm)';

/** How it gets cold in time, and a warning where the pot alone would not. */
export function coolingWords(
  cooling: CoolingPlan | undefined,
  loads: number,
  unit: Units,
): readonly string[] {
  if (cooling === undefined) return [];
  const { where, containers, depthCm, way, firstMinutes, lastMinutes, potTooDeep } = cooling;
  const pot = loads > 1 ? 'in a vessel as wide as the pot' : 'in its pot';
  const into =
    where === 'pot'
      ? pot
      : `in ${countWords(containers, 'shallow pan', 'shallow pans')} of ${PAN_WORDS}, ${lengthWords(depthCm / 100, unit)} deep`;
  const warning = potTooDeep ? ' The full pot is too deep to cool in time in a refrigerator.' : '';
  return [
    `Cool ${loads > 1 ? 'each load' : 'it'} ${into}, ${WAY_WORDS[way]}: about ${minutesWords(firstMinutes)} to ${temperatureWords(FOOD_CODE_COOLING.firstC, unit)} and ${minutesWords(lastMinutes)} to ${temperatureWords(FOOD_CODE_COOLING.lastC, unit)}.${warning} A thermometer decides.`,
  ];
}
