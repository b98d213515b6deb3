import type { Call } from '../../src/chat/call.js';
import type { ValuesOf } from '../../src/chat/option.js';
import { timeZone, wholeNumber, words, yesOrNo } from '../../src/chat/options.js';
import { isRefusal, type Refusal, refusal } from '../../src/chat/reply.js';
import { shareOfPiece, TALLOW_DENSITY_G_PER_ML, usualYield } from '../../src/cooking/blends/tallow.js';
import { type ExpectedShare, expectedShareFor, shareToGatherBy } from '../../src/findings/expected-share.js';
import * as option from '../../src/kitchen/options.js';
import type { Records } from '../../src/records/database.js';
import { weightWords } from '../../src/words/amounts.js';
import type { Method } from '../../src/words/methods.js';
import { ML_PER_US_TBSP } from '../../src/words/units.js';

// Discord takes 25 options of a command: how warm the water goes in is for the kit to say.
const { 'water-temperature': _, ...RENDER } = option.RENDER_OPTIONS;

/** What can be said of a plan: exactly one of fat, tallow and meals, and anything of the rest. */
export const PLAN_OPTIONS = {
  fat: option.fatWeight(false),
  tallow: option.tallowAmount(false, 'Tallow you want, by weight or volume, instead of fat'),
  meals: wholeNumber({
    description: 'Meals you want tallow for, instead of fat',
    required: false,
    least: 1,
    most: 10_000,
    example: '30',
  }),
  each: option.amount({
    description: 'Tallow for each meal; a tablespoon unless said',
    required: false,
    example: '2 tbsp',
  }),
  by: words({
    description: 'When it must be ready',
    required: false,
    maxLength: 60,
    example: 'Saturday 6pm',
  }),
  frozen: yesOrNo({ description: 'Whether the fat is frozen', required: false }),
  night: yesOrNo({ description: 'Whether somebody will be awake to cook at night', required: false }),
  smoke: option.smokeStrength('Smoke the tallow before it is jarred'),
  jar: option.jarVolume(),
  zone: timeZone({ description: 'Your time zone, by the name of a large city', required: false }),
  ...RENDER,
} as const;

export type PlanValues = Partial<ValuesOf<typeof PLAN_OPTIONS>> & option.RenderOptions;

/** How much fat a batch takes, and how much tallow is wanted of it. */
export interface Amounts {
  readonly fatG: number;
  /** What was asked for; undefined when the fat was. */
  readonly wantedG: number | undefined;
  readonly eachG: number | undefined;
  /** The share of the weight that becomes tallow: fat is gathered by the middle of its range. */
  readonly gatherYield: number;
  readonly gatherYieldLow: number;
  readonly gatherYieldHigh: number;
  /** The forecast that all of it rests on; undefined where that is what the cut usually gives. */
  readonly share: ExpectedShare | undefined;
  /** A forecast that was left aside, because nobody could gather by it. */
  readonly tooWide: ExpectedShare | undefined;
}

/** How much fat, from whichever one of fat, tallow and meals was said. */
export function amountsOf(
  values: PlanValues,
  expected?: ExpectedShare,
  method: Method = values.method ?? option.ASSUMED.method,
): Amounts | Refusal {
  const unclear = refuseUnclear(values);
  if (unclear !== undefined) return unclear;
  const by = gatheredBy(values, expected, method);
  if (values.fat !== undefined) return { fatG: values.fat, wantedG: undefined, eachG: undefined, ...by };
  const { wantedG, eachG } = wantedOf(values);
  const fatG = wantedG / by.gatherYield;
  if (fatG <= option.MOST_FAT_G) return { fatG, wantedG, eachG, ...by };
  return refusal(
    'More than a kitchen holds',
    `That would take ${weightWords(fatG)} of fat; ${weightWords(option.MOST_FAT_G)} at most. For example: /plan tallow:"6 cups".`,
  );
}

const MOST_ROUNDS = 6;
/** Fat is not weighed finer at home. */
const CLOSE_ENOUGH = 0.005;

/**
 * The amounts by what the community's batches forecast. Where the fat is itself reckoned from the forecast, which depends
 * on the fat, both are brought to agree.
 */
export async function agreedAmounts(
  db: Records,
  call: Call,
  values: PlanValues,
  { method, fatG }: { readonly method: Method; readonly fatG: number },
): Promise<Amounts | Refusal> {
  const { cut = option.ASSUMED.cut, minutes, kind: rawFat } = values;
  let reckonedG = fatG;
  for (let round = 1; ; round++) {
    const share = await expectedShareFor(db, call, { method, cut, minutes, rawFat, fatG: reckonedG });
    const amounts = amountsOf(values, share, method);
    if (isRefusal(amounts) || round === MOST_ROUNDS) return amounts;
    if (Math.abs(amounts.fatG / reckonedG - 1) <= CLOSE_ENOUGH) return amounts;
    reckonedG = amounts.fatG;
  }
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

/**
 * With fat: given, the forecast is shown as it is. With tallow: or meals:, a forecast too low to shop by is replaced by
 * the usual range of the cut.
 */
function gatheredBy(
  { fat, cut = option.ASSUMED.cut, kind: rawFat = option.ASSUMED.rawFat, lean = 0 }: PlanValues,
  expected: ExpectedShare | undefined,
  method: Method,
): Omit<Amounts, 'fatG' | 'wantedG' | 'eachG'> {
  const share = fat === undefined ? shareToGatherBy(expected, cut) : expected;
  const piece = { fatG: fat ?? 1, rawFat, leanFraction: lean };
  const {
    low,
    high,
    expected: likely = (low + high) / 2,
  } = shareOfPiece(share ?? usualYield(cut, method, rawFat), piece);
  return {
    gatherYield: likely,
    gatherYieldLow: low,
    gatherYieldHigh: high,
    share,
    tooWide: share === undefined ? expected : undefined,
  };
}

const ASSUMED_EACH = { ml: ML_PER_US_TBSP } as const;
const tallowG = (amount: option.Amount) => option.gramsOf(amount, TALLOW_DENSITY_G_PER_ML.pouring);

function wantedOf({ tallow, meals, each = ASSUMED_EACH }: PlanValues) {
  if (meals === undefined) return { wantedG: tallowG(tallow ?? { g: 0 }), eachG: undefined };
  return { wantedG: meals * tallowG(each), eachG: tallowG(each) };
}
