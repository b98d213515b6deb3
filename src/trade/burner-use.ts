/** What a render costs in burner time, energy and money. */

import { type Burner, efficiencyAssumption, efficiencyOf } from './burner.js';
import type { HeatUp } from './heat-up.js';
import { latentHeatKJPerKg, liquidWaterDensityGPerMl } from './water-properties.js';
import type { Calculation } from './working.js';

const MEASURED_AT_C = 20;

export interface BurnerUse {
  /** Minutes the burner is on. */
  readonly burnerMinutes: number;
  /** Fuel or electricity as rated, in kWh. */
  readonly energyKWh: number;
  /** In the money of the price; null without a price. */
  readonly cost: number | null;
  /** Average power while simmering, in watts. */
  readonly simmerW: number;
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
  for (const [name, value] of Object.entries({
    renderMinutes,
    boilOffMlPerHour,
    loads,
    price: pricePerKWh ?? 0,
  }))
    if (!(Number.isFinite(value) && value >= 0))
      throw new RangeError(`${name} must be a finite number from 0 up, not ${value}`);
  const steamW =
    (boilOffMlPerHour * liquidWaterDensityGPerMl(MEASURED_AT_C) * latentHeatKJPerKg(boilC)) / 3600;
  const simmerW = Math.min(burner.powerW, (heatUp.lossW + steamW) / efficiencyOf(burner).typical);
  const burnerMinutes = loads * (heatUp.minutes + renderMinutes);
  const energyKWh = (loads * (burner.powerW * heatUp.minutes + simmerW * renderMinutes)) / 60 / 1000;
  return {
    burnerMinutes,
    energyKWh,
    cost: pricePerKWh === undefined ? null : energyKWh * pricePerKWh,
    simmerW,
    calculation: {
      formula:
        'energy = full power × time to boil + simmering power × time of the render; simmering power replaces what is lost and makes steam',
      constants: [
        {
          name: `Heat of vaporisation at ${boilC.toFixed(1)} °C`,
          value: latentHeatKJPerKg(boilC),
          unit: 'kJ/kg',
          source: 'iapws-sr1-86',
        },
      ],
      assumptions: [efficiencyAssumption(burner)],
      steps: [
        { name: 'Burner on', value: burnerMinutes, unit: 'min' },
        { name: 'Power while simmering', value: simmerW, unit: 'W' },
        { name: 'Energy', value: energyKWh, unit: 'kWh' },
      ],
    },
  };
}
