import { describe, expect, it } from 'vitest';
import {
  type BurnerKind,
  efficiencyAssumption,
  efficiencyOf,
  simmerPowerW,
} from '../../../src/cooking/heat/burner.js';

const KINDS: readonly (BurnerKind | undefined)[] = ['gas', 'electric', 'induction', 'outdoor gas', undefined];

describe('the power of a simmer', () => {
  it('replaces steam and loss, and what misses the pot, and is never more than full', () => {
    // 400 W of the 1,000 W of a gas burner reach the pot.
    expect(simmerPowerW({ powerW: 3000, kind: 'gas' }, { steamW: 300, lossW: 100 })).toBeCloseTo(1000, 9);
    expect(simmerPowerW({ powerW: 900, kind: 'gas' }, { steamW: 300, lossW: 100 })).toBe(900);
  });
});

describe('the share of a burner that heats the pot', () => {
  it('is in order and below one', () => {
    for (const kind of KINDS) {
      const { low, typical, high } = efficiencyOf({ powerW: 1000, ...(kind && { kind }) });
      expect(low).toBeGreaterThan(0);
      expect(low).toBeLessThanOrEqual(typical);
      expect(typical).toBeLessThanOrEqual(high);
      expect(high).toBeLessThan(1);
    }
  });

  // US appliance test results, from memory: gas about 32 to 44 %, electric about 70 to 80 %, induction about 85 %.
  it('is best for induction and least for gas', () => {
    const typical = (kind: BurnerKind) => efficiencyOf({ powerW: 1000, kind }).typical;
    expect(typical('gas')).toBeLessThan(typical('electric'));
    expect(typical('electric')).toBeLessThan(typical('induction'));
  });

  it('is said as an assumption', () => {
    expect(efficiencyAssumption({ powerW: 1000, kind: 'gas' }).text).toBe(
      'A burner (gas) puts about 40 % of its heat into the pot, 30 to 50 %.',
    );
  });

  it('needs a burner that burns', () => {
    for (const powerW of [0, -1, Number.NaN]) expect(() => efficiencyOf({ powerW })).toThrow(/powerW/);
  });
});
