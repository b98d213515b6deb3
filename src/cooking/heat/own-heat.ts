import type { Method } from '../../words/methods.js';
import type { Calculation } from '../working.js';

const SLOW_COOKER = { appliance: 'a slow cooker', minutes: 120 } as const;
const OVEN = { appliance: 'an oven', minutes: 30 } as const;
const SMOKER = { appliance: 'a smoker', minutes: 45 } as const;

/** What brings its own heat, and how long it takes to get hot. Assumed. */
export const OWN_HEAT: Readonly<
  Partial<Record<Method, { readonly appliance: string; readonly minutes: number }>>
> = {
  'slow-cooker': SLOW_COOKER,
  oven: OVEN,
  smoker: SMOKER,
};

/** Whether a method stands on a burner; the others bring their own heat. */
export const standsOnBurner = (method: Method): boolean => OWN_HEAT[method] === undefined;

export const ownHeatCalculation = (minutes: number): Calculation => ({
  formula: 'time to get hot = as usual for what brings its own heat',
  constants: [],
  assumptions: [
    {
      text: `A slow cooker takes about ${SLOW_COOKER.minutes / 60} h to get hot, an oven with its pan ${OVEN.minutes} min, a smoker ${SMOKER.minutes} min.`,
      sources: [],
    },
  ],
  steps: [{ name: 'Time to get hot', value: minutes, unit: 'min' }],
});
