/** What a render costs in burner time, energy and money. */

import { assertNotNegative, inFewDigits, roundTo } from '../../words/numbers.js';
import type { Calculation } from '../working.js';
import { steamingW } from './boil-off.js';
import { type Burner, efficiencyAssumption, simmerPowerW } from './burner.js';
import type { HeatUp } from './heat-up.js';
import { DRY_LOSS_ASSUMPTION } from './pot.js';
import { latentHeatConstant } from './water-properties.js';

export interface BurnerUse {
  /** Fuel or electricity as rated, in kWh. */
  readonly energyKWh: number;
  /** In the money of the price, to its hundredth, for the energy in the digits it is shown in; null without a price. */
  readonly cost: number | null;
  readonly calculation: Calculation;
}

export interface BurnerUseRequest {
  readonly burner: Burner;
  readonly heatUp: Pick<HeatUp, 'minutes' | 'lossW'>;
  readonly renderMinutes: number;
  readonly boilC: number;
  /** Water turned to steam while it simmers; 0 under pressure. */
  readonly boilOffMlPerHour: number;
  readonly pricePerKWh?: number | undefined;
  /** Loads cooked one after the other. */
  readonly loads?: number | undefined;
}

/**
 * Burner time, energy and cost of a render: full power to the boil, then what replaces losses and makes steam.
 * Throws RangeError when a figure is negative or not finite.
 */
export function burnerUse(request: BurnerUseRequest): BurnerUse {
  const { burner, heatUp, renderMinutes, boilC, boilOffMlPerHour, pricePerKWh, loads = 1 } = request;
  assertNotNegative({ renderMinutes, boilOffMlPerHour, loads, price: pricePerKWh ?? 0 });
  const steamW = steamingW(boilOffMlPerHour, boilC);
  const simmerW = simmerPowerW(burner, { steamW, lossW: heatUp.lossW });
  const burnerMinutes = loads * (heatUp.minutes + renderMinutes);
  const energyKWh = (loads * (burner.powerW * heatUp.minutes + simmerW * renderMinutes)) / 60 / 1000;
  const cost = pricePerKWh === undefined ? null : roundTo(inFewDigits(energyKWh) * pricePerKWh, 0.01);
  return {
    energyKWh,
    cost,
    calculation: {
      formula: `energy = full power × time to boil + simmering power × time of the render; simmering power = (steam + loss of the pot) ÷ share that reaches the pot${cost === null ? '' : '; cost = energy × price'}`,
      constants: [latentHeatConstant(boilC)],
      assumptions: [DRY_LOSS_ASSUMPTION, efficiencyAssumption(burner)],
      steps: [
        { name: 'Burner on', value: burnerMinutes, unit: 'min' },
        { name: 'Lost by the pot', value: heatUp.lossW, unit: 'W' },
        { name: 'Power while simmering', value: simmerW, unit: 'W' },
        { name: 'Energy', value: energyKWh, unit: 'kWh' },
        ...(cost === null ? [] : [{ name: 'Cost', value: cost, unit: '' }]),
      ],
    },
  };
}
