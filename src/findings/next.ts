import type { Call } from '../chat/call.js';
import { type Reply, reply } from '../chat/reply.js';
import { PROPOSED_FATS_G } from '../cooking/starting-weights.js';
import { waterFor } from '../cooking/water/water.js';
import type { Records } from '../records/database.js';
import { MODEL_DESIGN, type ModelFactor, memberSumsOf } from '../records/model-sums.js';
import {
  type BatchCandidate,
  batchCandidates,
  candidateFatG,
  proposedFatsG,
} from '../statistics/model/batch-design.js';
import { levelColumn } from '../statistics/model/design.js';
import { type Estimate, intervalOf } from '../statistics/model/linear-estimate.js';
import type { MemberTotals } from '../statistics/model/sufficient-statistics.js';
import { chooseMemberTerms, chooseTerms } from '../statistics/model/term-choice.js';
import type { Comparison, NextBatch, Reason } from '../statistics/questions/next-batch.js';
import { openQuestion } from '../statistics/questions/open-question.js';
import { type BatchPlan, batchesToShow } from '../statistics/questions/power.js';
import { plannedSpread, spreadOf } from '../statistics/questions/spread.js';
import { LEAST_BATCHES, LEAST_MEMBERS, WORTH_KNOWING } from '../statistics/questions/verdict.js';
import { roundWeightWords } from '../words/amounts.js';
import { capitalise, countWords } from '../words/lists.js';
import { CUTS, levelWords, METHODS, type Method } from '../words/methods.js';
import { finePercentWords, finePointsWords, percentWords } from '../words/yield-words.js';
import { type BatchModel, communityModelOf } from './community-model.js';
import { allComparisons, comparisonKey, FACTORS } from './level-comparisons.js';
import { oddFigures } from './scope.js';

const MOST_SHOWN = 3;
/** Chance that the difference shows, for which batches are counted. */
const POWER = 0.8;
/** Half the width of a 95 % interval in standard errors. */
const GIVE_OR_TAKE = 1.96;

/** What a cook asks about their next batch. */
export interface NextBatchRequest {
  /** What the community wants to compare; methods and cuts unless said. */
  readonly by: ModelFactor | undefined;
  /** A difference worth knowing, as a fraction. */
  readonly difference: number | undefined;
  /** The largest vessel that the cook has for a method; 0 without one. */
  capacityMl(method: Method): number;
}

/** Which batch would teach the community most. */
export async function nextBatch(db: Records, call: Call, request: NextBatchRequest): Promise<Reply> {
  const { by, difference = WORTH_KNOWING, capacityMl } = request;
  const model = await communityModelOf(db, call.community);
  const { scope, community, forecastModel } = model;
  const member = await memberSumsOf(db, call.community, call.member.id, community, scope.filter);
  const spread = spreadOf(model.fit);
  const methods = cookedWith(capacityMl, member);
  const candidatesOf = (fatsG: readonly number[]) =>
    (methods ?? ALL_METHODS).flatMap((method) => candidatesBy(method, capacityMl(method), fatsG));
  const { candidates, question } = worstKnown(model, by === undefined ? FACTORS : [by], {
    member,
    candidatesOf,
  });
  const figures = {
    batches: community.sums.total.batches,
    members: community.members,
    candidates: candidates.length,
    spreadBatchYield: spread.batch,
    spreadMemberYield: spread.member,
    ...oddFigures(scope),
  };
  if (question === undefined) {
    return reply({
      title: 'Any batch will help',
      lines: [
        'No single batch makes a comparison possible yet. Cook two methods with the same cut, and log both with their minutes.',
        ...scope.lines,
      ],
      figures: { ...figures, next: {}, batchesToShow: null, membersToShow: null },
    });
  }
  const shown = question.batches.slice(0, MOST_SHOWN);
  const [first] = shown;
  const asked = comparisonKey(question.comparison);
  const known = allComparisons(model).find((one) => comparisonKey(one) === asked && one.difference.df > 0);
  const widen = widener(known?.difference);
  const plan = batchesToShow(difference, plannedSpread(model.fit), {
    known: known?.difference,
    power: POWER,
  });
  return reply({
    title: first ? `Cook next: ${batchWords(first.candidate)}` : 'Any batch will help',
    lines: [
      `${comparisonWords(question.comparison)} ${first?.standardError === undefined ? 'cannot be compared yet' : 'is what the community knows worst of what you can help with'}. ${methods === undefined ? EMPTY_KIT : THESE_CAN_BE_COOKED}`,
      ...shown.map(
        (batch, at) =>
          `${at + 1}. ${capitalise(batchWords(batch.candidate))}: ${gainWords(batch, widen)}; ${REASON_WORDS[batch.reason]}.`,
      ),
      planWords(plan, difference, known?.verdict === 'too-few'),
      ...scope.lines,
    ],
    sources: [
      forecastModel.fit === undefined
        ? 'Spread between batches and cooks: assumed, 5 points each, as too few are logged'
        : 'This community’s batches: standard error of the comparison after one more row; power of a t test',
    ],
    figures: {
      ...figures,
      standardErrorYield: first?.standardError ?? null,
      next: Object.fromEntries(
        shown.map(({ candidate, standardErrorAfter }) => [
          [...candidate.levels, Math.round(candidateFatG(candidate))].join(' '),
          { fatG: candidateFatG(candidate), standardErrorAfterYield: standardErrorAfter },
        ]),
      ),
      differenceYield: difference,
      batchesToShow: plan?.batches ?? null,
      membersToShow: plan?.members ?? null,
      powerThen: plan?.power ?? null,
    },
  });
}

const THESE_CAN_BE_COOKED = 'These are batches that you can cook with your kit or have cooked before.';
const EMPTY_KIT = 'Your kit is empty, so any method is taken; /kit add makes this fit you.';

const ALL_METHODS = METHODS.map(({ value }) => value);

/** The comparison of these factors that is known worst, and the batches that would narrow it, the best first. */
export function worstKnown(
  { community, fit, forecastModel: { choice } }: BatchModel,
  factors: readonly ModelFactor[],
  cook: {
    /** What they have logged. */
    readonly member?: MemberTotals | undefined;
    /** What they can cook of each of these weights; anything unless said. */
    readonly candidatesOf?: (fatsG: readonly number[]) => readonly BatchCandidate[];
  } = {},
) {
  const sums = chooseTerms(community.sums, choice);
  const { member, candidatesOf = anyOf } = cook;
  const candidates = candidatesOf(proposedFatsG(sums, community.sums, PROPOSED_FATS_G));
  const own = member && chooseMemberTerms(community.sums.design, member, choice);
  return { candidates, question: openQuestion(sums, factors, { sums: own, candidates }, spreadOf(fit)) };
}

const anyOf = (fatsG: readonly number[]) => ALL_METHODS.flatMap((method) => candidatesBy(method, 0, fatsG));

/** Batches by a method that fit into so much of a vessel; any where none is known. */
function candidatesBy(method: Method, roomMl: number, fatsG: readonly number[]): readonly BatchCandidate[] {
  return CUTS.flatMap(({ value: cut }) => {
    const fits = (fatG: number) => roomMl === 0 || waterFor({ fatG, method, cut }).vesselMl <= roomMl;
    return batchCandidates([method], [cut], fatsG.filter(fits));
  });
}

/** The methods that a cook has cooked by before or has a vessel for; undefined when none is known. */
function cookedWith(
  capacityMl: NextBatchRequest['capacityMl'],
  member: MemberTotals | undefined,
): readonly Method[] | undefined {
  const known = ALL_METHODS.filter((method) => {
    const before = member?.columns[levelColumn(MODEL_DESIGN, 0, method)] ?? 0;
    // A pan says nothing of a smoker to put it in.
    return before > 0 || (method !== 'smoker' && capacityMl(method) > 0);
  });
  return known.length > 0 ? known : undefined;
}

type Widen = (standardError: number) => number;

/** From a standard error to half of the interval that `/yield compare` gives. */
function widener(known: Estimate | undefined): Widen {
  if (known === undefined) return (standardError) => GIVE_OR_TAKE * standardError;
  const { low, high } = intervalOf(known);
  const now = (high - low) / 2;
  return (standardError) => (now * standardError) / known.standardError;
}

function batchWords(candidate: BatchCandidate): string {
  const [method, cut] = candidate.levels;
  return `${levelWords(method)}, ${levelWords(cut)}, ${roundWeightWords(candidateFatG(candidate))}`;
}

const comparisonWords = ({ first, second }: Comparison): string =>
  `${capitalise(levelWords(first))} against ${levelWords(second)}`;

/** An interval that reaches further says next to nothing. */
const HARDLY_KNOWN = 0.5;

function gainWords({ standardError, standardErrorAfter }: NextBatch, widen: Widen): string {
  const widthAfter = widen(standardErrorAfter);
  if (standardError === undefined)
    return widthAfter > HARDLY_KNOWN
      ? 'hardly known after it, but known'
      : `known to within ± ${finePointsWords(widthAfter)} after it`;
  const closer = `${finePercentWords(1 - standardErrorAfter / standardError)} closer after it`;
  const widthNow = widen(standardError);
  if (!(widthNow <= HARDLY_KNOWN)) return `hardly known now, ${closer}`;
  const [now, after] = [finePointsWords(widthNow), finePointsWords(widthAfter)];
  return now === after
    ? `known to within ± ${now} now, ${closer}`
    : `known to within ± ${now} now, ± ${after} after it`;
}

const REASON_WORDS: Readonly<Record<Reason, string>> = {
  'makes-it-possible': 'the first batch that lets the two be compared at all',
  'same-cook-both-ways': 'you have cooked the other way too, so it compares the two within one cook',
  'adds-to-one-side': 'it adds to one of the two sides',
  'tells-the-rest-apart': 'it helps to tell the rest (cut, method, weight, time, cook) apart from the two',
};

function planWords(plan: BatchPlan | undefined, difference: number, isTooFew: boolean): string {
  const size = `A true difference of ${finePointsWords(difference)}`;
  if (plan === undefined) return `${size} is too small to show with any number of batches to hope for.`;
  if (plan.members === 0)
    return isTooFew
      ? `${size} would show once each side has ${LEAST_BATCHES} batches of ${LEAST_MEMBERS} members.`
      : `${size} would show with what is logged already (chance ${percentWords(plan.power)}).`;
  const who = plan.members === 1 ? '1 member who cooks' : `${plan.members} members who each cook`;
  return `${size} would show, 8 times in 10, after about ${countWords(plan.batches, 'more batch', 'more batches')} from ${who} both ways.`;
}
