import { temperatureWords, type Units } from '../words/amounts.js';
import { celsiusFromFahrenheit } from '../words/units.js';

/** What figures in a caution depend on. */
export interface Cook {
  /** Where water boils in an open pot there; undefined where nobody said how high they cook. */
  readonly boilC?: number | undefined;
  readonly unit?: Units;
}

/** Ten degrees Fahrenheit. */
const MARGIN_K = 10 / 1.8;

/** What is true at sea level, and is never exceeded. */
const SEA_LEVEL_C = celsiusFromFahrenheit(200);

/**
 * Below this, fat flashes no water into steam and may be strained and poured: the boiling point there less 10 °F, and
 * 200 °F at most. Our own margin: with 202.3 °F at 5,280 ft it is 192 °F.
 */
export const pourBelowC = (boilC: number): number => Math.min(SEA_LEVEL_C, boilC - MARGIN_K);

/** Whether the limit of sea level is wrong there. */
export const isHigh = (boilC: number | undefined): boolean =>
  boilC !== undefined && pourBelowC(boilC) < SEA_LEVEL_C - 0.5;

/** “40 °F (4 °C)”, “40 to 140 °F (4 to 60 °C)”, “3 ft (1 m)”. */
const IN_BOTH =
  /(−?[\d,.¼½¾]+(?: (?:to|and) −?[\d,.¼½¾]+)?) (°F|ft|in|lb) \((−?[\d,.]+(?: (?:to|and) −?[\d,.]+)?) (°C|m|cm|kg)\)/g;

/**
 * A text of the table as this cook reads it: `{pour}` and `{boils}` are worked out for where they cook, and of amounts
 * that are written in both systems the one they asked for is kept.
 */
export function forCook(text: string, { boilC, unit }: Cook = {}): string {
  const pour = temperatureWords(pourBelowC(boilC ?? 100), unit);
  return text
    .replaceAll('{pour}', boilC === undefined ? atSeaLevel(pour) : pour)
    .replaceAll(
      '{boils}',
      boilC === undefined
        ? 'Water boils lower the higher you cook'
        : `Water boils at ${temperatureWords(boilC, unit)} where you cook`,
    )
    .replaceAll(IN_BOTH, (both, us, usUnit, metric, metricUnit) =>
      unit === undefined ? both : unit === 'us' ? `${us} ${usUnit}` : `${metric} ${metricUnit}`,
    );
}

/** “200 °F (93 °C; less high up)”, “93 °C (less high up)”. */
const atSeaLevel = (words: string): string =>
  words.endsWith(')') ? `${words.slice(0, -1)}; less high up)` : `${words} (less high up)`;
