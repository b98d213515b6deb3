import { describe, expect, it } from 'vitest';
import { dryLossW } from '../../../src/cooking/heat/pot-loss.js';

describe('what a hot pot loses apart from steam', () => {
  it('is a gas burner’s lowest flame or so for a stock pot', () => {
    // 8 qt, 10 in wide: 0.17 m² of outside, 80 °C above the room, at 12 W for each.
    expect(dryLossW({ vesselMl: 7571, potDiameterCm: 25.4, boilC: 100 })).toBeCloseTo(163, 0);
  });

  it('grows with the pot and with its heat, and is nothing in a pot as warm as the room', () => {
    const pot = { vesselMl: 8000, boilC: 100 };
    expect(dryLossW({ ...pot, vesselMl: 16_000 })).toBeGreaterThan(dryLossW(pot));
    expect(dryLossW({ ...pot, boilC: 115 })).toBeGreaterThan(dryLossW(pot));
    expect(dryLossW({ ...pot, boilC: 20 })).toBe(0);
    expect(() => dryLossW({ ...pot, vesselMl: 0 })).toThrow(/capacityMl/);
  });
});
