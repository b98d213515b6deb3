import { describe, expect, it } from 'vitest';
import { type BurnerUseRequest, burnerUse } from '../../src/trade/burner-use.js';

const render = {
  burner: { powerW: 2000, kind: 'electric' },
  heatUp: { minutes: 20, lossW: 100 },
  renderMinutes: 120,
  boilC: 99.97,
  boilOffMlPerHour: 400,
} as const satisfies BurnerUseRequest;

describe('what the burner uses', () => {
  it('is full power to the boil and a simmer after it', () => {
    const use = burnerUse(render);
    expect(use.burnerMinutes).toBe(140);
    // 400 mL an hour take 0.399 kg × 2,256.7 kJ/kg ÷ 3,600 s = 250 W; with the losses 350 W, of 72 % efficiency 486 W.
    expect(Math.abs(use.simmerW - 486)).toBeLessThan(2);
    expect(use.energyKWh).toBeCloseTo((2 * 20) / 60 + (0.486 * 120) / 60, 2);
    expect(use.cost).toBeNull();
  });

  it('costs energy times the price, and every load again', () => {
    const once = burnerUse({ ...render, pricePerKWh: 0.3 });
    const twice = burnerUse({ ...render, pricePerKWh: 0.3, loads: 2 });
    expect(once.cost).toBeCloseTo(once.energyKWh * 0.3, 12);
    expect(twice.cost).toBeCloseTo(2 * (once.cost ?? 0), 12);
    expect(twice.burnerMinutes).toBe(280);
  });

  it('never simmers at more than full power', () => {
    expect(burnerUse({ ...render, boilOffMlPerHour: 50_000 }).simmerW).toBe(2000);
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => burnerUse({ ...render, pricePerKWh: -1 })).toThrow(/price/);
    expect(() => burnerUse({ ...render, renderMinutes: Number.NaN })).toThrow(/renderMinutes/);
  });
});
