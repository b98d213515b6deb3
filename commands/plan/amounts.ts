import { type Refusal, refusal } from '../../src/chat/reply.js';
import { EXPECTED_YIELD, shareOfPiece, TALLOW_DENSITY_G_PER_ML } from '../../src/cooking/blends/tallow.js';
import { type ExpectedShare, shareToGatherBy } from '../../src/findings/expected-share.js';
import * as option from '../../src/kitchen/options.js';
import { ASSUMED } from '../../src/kitchen/render.js';
import { weightWords } from '../../src/words/amount-words.js';
import { ML_PER_US_TBSP } from '../../src/words/units.js';
import type { PlanValues } from './options.js';

/** How much fat a batch takes, and how much tallow is wanted of it. */
export interface Amounts extends Wanted, GatheredBy {
  readonly fatG: number;
}

interface Wanted {
  /** What was asked for; undefined when the fat was. */
  readonly wantedG: number | undefined;
  readonly eachG: number | undefined;
}

interface GatheredBy {
  /** The least share of the weight that becomes tallow, which is what fat is gathered by. */
  readonly leastYield: number;
  /** The forecast that all of it rests on; undefined where that is what the cut usually gives. */
  readonly share: ExpectedShare | undefined;
  /** A forecast that was left aside, because nobody could gather by it. */
  readonly tooWide: ExpectedShare | undefined;
}

/** How much fat, from whichever one of fat, tallow and meals was said. */
export function amountsOf(values: PlanValues, expected?: ExpectedShare): Amounts | Refusal {
  const unclear = refuseUnclear(values);
  if (unclear !== undefined) return unclear;
  const by = gatheredBy(values, expected);
  if (values.fat !== undefined) return { fatG: values.fat, wantedG: undefined, eachG: undefined, ...by };
  const { wantedG, eachG } = wantedOf(values);
  const fatG = wantedG / by.leastYield;
  if (fatG > option.MOST_FAT_G) return refuseTooMuch(fatG);
  return { fatG, wantedG, eachG, ...by };
}

function refuseUnclear({ fat, tallow, meals, each }: PlanValues): Refusal | undefined {
  const said = [fat, tallow, meals].filter((value) => value !== undefined);
  if (said.length !== 1) {
    return refusal(
      said.length === 0 ? 'How much of what?' : 'One of the three',
      'Say fat: for the fat you have, tallow: for what you want of it, or meals: for how many you cook. For example: /plan tallow:"6 cups" by:"Saturday 6pm".',
    );
  }
  if (each !== undefined && meals === undefined) {
    return refusal('Each of what?', 'each: goes with meals:. For example: /plan meals:30 each:"2 tbsp".');
  }
  return undefined;
}

function refuseTooMuch(fatG: number): Refusal {
  return refusal(
    'More than a kitchen holds',
    `That would take ${weightWords(fatG)} of fat; ${weightWords(option.MOST_FAT_G)} at most. For example: /plan tallow:"6 cups".`,
  );
}

/** Who has the fat is told the forecast however wide; who gathers it is told the range that it was gathered by. */
function gatheredBy(
  { fat, cut = ASSUMED.cut, kind: rawFat = ASSUMED.rawFat, lean = 0 }: PlanValues,
  expected: ExpectedShare | undefined,
): GatheredBy {
  const share = fat === undefined ? shareToGatherBy(expected, cut) : expected;
  const piece = { fatG: fat ?? 1, rawFat, leanFraction: lean };
  return {
    leastYield: shareOfPiece(share ?? EXPECTED_YIELD[cut], piece).low,
    share,
    tooWide: share === undefined ? expected : undefined,
  };
}

const ASSUMED_EACH = { ml: ML_PER_US_TBSP } as const;

function wantedOf({ tallow, meals, each }: PlanValues): Wanted & { readonly wantedG: number } {
  if (meals === undefined) return { wantedG: gramsOf(tallow ?? { g: 0 }), eachG: undefined };
  const eachG = gramsOf(each ?? ASSUMED_EACH);
  return { wantedG: meals * eachG, eachG };
}

/** A volume of tallow is as poured. */
function gramsOf(amount: option.Amount): number {
  return 'g' in amount ? amount.g : amount.ml * TALLOW_DENSITY_G_PER_ML.pouring;
}
