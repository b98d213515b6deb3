import type { Refusal } from '../../src/chat/reply.js';
import type { Burner } from '../../src/cooking/heat/burner.js';
import { standsOnBurner } from '../../src/kitchen/asked.js';
import { heatUpOf, type Render, refuseHeatUp } from '../../src/kitchen/render.js';
import type { Part } from '../../src/kitchen/working.js';
import type { Units } from '../../src/words/amount-words.js';
import type { Method } from '../../src/words/methods.js';

/** How long one load takes until it is hot. */
export interface Heating {
  readonly kind: 'heating';
  readonly minutes: number;
  /** Where the render itself does not show it. */
  readonly part: Part | undefined;
}

/** Tried in this order where no burner was named. Common powers, from memory. */
const ASSUMED_BURNERS: readonly Burner[] = [
  { powerW: 1800, kind: 'electric' },
  { powerW: 15_000, kind: 'outdoor gas' },
];

/** How long what brings its own heat takes to get hot. Assumed. */
const OWN_HEAT_MINUTES: Readonly<Partial<Record<Method, number>>> = {
  'slow-cooker': 120,
  oven: 30,
  smoker: 45,
};

/** Of a burner that was named, else of the first common one that gets it hot; or of what brings its own heat. */
export function heatingOf(render: Render, unit: Units): Heating | Refusal {
  const { method, heatUp } = render;
  if (!standsOnBurner(method)) return ownHeating(method);
  if (heatUp === undefined) return assumedHeating(render, unit);
  if (!heatUp.ok) return refuseHeatUp(heatUp, render, unit);
  return { kind: 'heating', minutes: heatUp.minutes, part: undefined };
}

function assumedHeating(render: Render, unit: Units): Heating | Refusal {
  const tried = ASSUMED_BURNERS.map((burner) => ({ burner, heat: heatUpOf(render, burner) }));
  for (const { burner, heat } of tried) {
    if (!heat.ok) continue;
    const { calculation, minutes } = heat;
    const assumption = {
      text: `No burner was named: ${burner.kind === 'electric' ? 'an electric stove' : 'an outdoor gas burner'} of ${burner.powerW} W.`,
      sources: [],
    };
    return {
      kind: 'heating',
      minutes,
      part: {
        title: 'Heat-up',
        calculation: { ...calculation, assumptions: [assumption, ...calculation.assumptions] },
      },
    };
  }
  const last = tried.at(-1)?.heat;
  if (last === undefined || last.ok) throw new RangeError('no burner to try');
  return refuseHeatUp(last, render, unit);
}

function ownHeating(method: Method): Heating {
  const minutes = OWN_HEAT_MINUTES[method] ?? 0;
  return {
    kind: 'heating',
    minutes,
    part: {
      title: 'Heat-up',
      calculation: {
        formula: 'time to get hot = as usual for what brings its own heat',
        constants: [],
        assumptions: [
          {
            text: 'A slow cooker takes about 2 h to get hot, an oven with its pan 30 min, a smoker 45 min.',
            sources: [],
          },
        ],
        steps: [{ name: 'Time to get hot', value: minutes, unit: 'min' }],
      },
    },
  };
}
