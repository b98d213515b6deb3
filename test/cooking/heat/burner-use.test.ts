import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boilOff } from '../../../src/cooking/heat/boil-off.js';
import type { BurnerKind } from '../../../src/cooking/heat/burner.js';
import { type BurnerUseRequest, burnerUse } from '../../../src/cooking/heat/burner-use.js';
import { heatUp } from '../../../src/cooking/heat/heat-up.js';
import { boilingPointC } from '../../../src/cooking/heat/steam.js';
import type { Calculation } from '../../../src/cooking/working.js';

const LIDS = ['on', 'ajar', 'off'] as const;

const render = {
  burner: { powerW: 2000, kind: 'electric' },
  heatUp: { minutes: 20, lossW: 100 },
  renderMinutes: 120,
  boilC: 99.97,
  boilOffMlPerHour: 400,
} as const satisfies BurnerUseRequest;

function stepOf({ calculation }: { readonly calculation: Calculation }, step: string): number {
  const found = calculation.steps.find(({ name }) => name === step);
  if (found === undefined) throw new Error(`no step is called ${step}`);
  return found.value;
}

const simmerOf = (of: { readonly calculation: Calculation }) => stepOf(of, 'Power while simmering');

describe('what the burner uses', () => {
  it('is full power to the boil and a simmer after it', () => {
    const use = burnerUse(render);
    expect(stepOf(use, 'Burner on')).toBe(140);
    // 400 mL an hour take 0.399 kg × 2,256.7 kJ/kg ÷ 3,600 s = 250 W; with the losses 350 W, of 72 % efficiency 486 W.
    expect(Math.abs(simmerOf(use) - 486)).toBeLessThan(2);
    expect(use.energyKWh).toBeCloseTo((2 * 20) / 60 + (0.486 * 120) / 60, 2);
    expect(use.cost).toBeNull();
  });

  it('costs the energy as it is shown times the price, to the hundredth', () => {
    const dear = burnerUse({ ...render, pricePerKWh: 0.3 });
    // 1.638 kWh are shown as 1.64.
    expect(dear.energyKWh).toBeCloseTo(1.638, 2);
    expect(dear.cost).toBe(0.49);
    // 21.3 kWh are shown as 21.
    const thirteen = burnerUse({ ...render, pricePerKWh: 0.25, loads: 13 });
    expect(thirteen.energyKWh).toBeCloseTo(21.3, 1);
    expect(thirteen.cost).toBe(5.25);
  });

  it('is used again for every load', () => {
    const [once, twice] = [burnerUse(render), burnerUse({ ...render, loads: 2 })];
    expect(twice.energyKWh).toBeCloseTo(2 * once.energyKWh, 12);
    expect(stepOf(twice, 'Burner on')).toBe(280);
  });

  it('simmers on the power that the boil-off was reckoned from', () => {
    fc.assert(
      fc.property(
        fc.record({
          powerW: fc.integer({ min: 300, max: 30_000 }),
          kind: fc.constantFrom<BurnerKind>('gas', 'electric', 'induction', 'outdoor gas'),
        }),
        fc.constantFrom(...LIDS),
        fc.integer({ min: 3000, max: 60_000 }),
        fc.integer({ min: -500, max: 6000 }),
        (burner, lid, vesselMl, altitudeM) => {
          const boilC = boilingPointC(altitudeM);
          const pot = { burner, lid, vesselMl };
          const heat = heatUp({ ...pot, fatG: 1000, fatStartC: 4, waterMl: 1000, waterStartC: 20, boilC });
          if (!heat.ok) return;
          const lost = boilOff({ ...pot, altitudeM });
          const use = burnerUse({
            burner,
            heatUp: heat,
            renderMinutes: 120,
            boilC,
            boilOffMlPerHour: lost.mlPerHour,
          });
          expect(simmerOf(lost)).toBeCloseTo(simmerOf(use), 6);
        },
      ),
    );
  });

  it('never simmers at more than full power', () => {
    expect(simmerOf(burnerUse({ ...render, boilOffMlPerHour: 50_000 }))).toBe(2000);
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => burnerUse({ ...render, pricePerKWh: -1 })).toThrow(/price/);
    expect(() => burnerUse({ ...render, renderMinutes: Number.NaN })).toThrow(/renderMinutes/);
  });
});
