import type { Call } from '../chat/call.js';
import { type Reply, reply } from '../chat/reply.js';
import { PROPOSED_FATS_G } from '../cooking/starting-weights.js';
import { waterFor } from '../cooking/water/water.js';
import type { Records } from '../records/database.js';
import { type CommunitySums, MODEL_DESIGN, type ModelFactor, memberSumsOf } from '../records/model-sums.js';
import {
  type BatchCandidate,
  batchCandidates,
  candidateFatG,
  proposedFatsG,
} from '../statistics/model/batch-design.js';
import { levelColumn } from '../statistics/model/design.js';
import { differenceBetween, type Estimate, intervalOf } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import type { MemberTotals } from '../statistics/model/sufficient-statistics.js';
import { chooseMemberTerms, chooseTerms } from '../statistics/model/term-choice.js';
import { levelSummaries } from '../statistics/questions/level-summaries.js';
import type { Comparison, NextBatch, Reason } from '../statistics/questions/next-batch.js';
import { openQuestion } from '../statistics/questions/open-question.js';
import { type BatchPlan, batchesToShow } from '../statistics/questions/power.js';
import { plannedSpread, spreadOf } from '../statistics/questions/spread.js';
import {
  LEAST_BATCHES,
  LEAST_MEMBERS,
  type Side,
  verdictOf,
  WORTH_KNOWING,
} from '../statistics/questions/verdict.js';
import { roundWeightWords } from '../words/amounts.js';
import { capitalise, countWords } from '../words/lists.js';
import { CUTS, levelWords, METHODS, type Method } from '../words/methods.js';
import { finePercentWords, finePointsWords, percentWords } from '../words/yield-words.js';
import { communityModelOf } from './community-model.js';
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
  const { scope, sums: community, fit: whole, forecastModel } = await communityModelOf(db, call.community);
  const member = await memberSumsOf(db, call.community, call.member.id, community, scope.filter);
  const spread = spreadOf(whole);
  const factors: readonly ModelFactor[] = by === undefined ? ['method', 'cut'] : [by];
  // What cannot be told apart from the rest, such as the time of a method that always takes as long, is left out.
  const { fit, choice: terms } = forecastModel;
  const sums = chooseTerms(community.sums, terms);
  const can = feasible(capacityMl, member, proposedFatsG(sums, community.sums, PROPOSED_FATS_G));
  const own = member && chooseMemberTerms(community.sums.design, member, terms);
  const best = openQuestion(sums, factors, { sums: own, candidates: can.candidates }, spread);
  const figures = {
    batches: community.sums.total.batches,
    members: community.members,
    candidates: can.candidates.length,
    spreadBatchYield: spread.batch,
    spreadMemberYield: spread.member,
    ...oddFigures(scope),
  };
  if (best === undefined) {
    return reply({
      title: 'Any batch will help',
      lines: [
        'No single batch makes a comparison possible yet. Cook two methods with the same cut, and log both with their minutes.',
        ...scope.lines,
      ],
      figures: { ...figures, next: {}, batchesToShow: null, membersToShow: null },
    });
  }
  const shown = best.batches.slice(0, MOST_SHOWN);
  const [first] = shown;
  const known = fit && knownOf(fit, best.comparison);
  const widen = widener(known);
  const plan = batchesToShow(difference, plannedSpread(whole), { known, power: POWER });
  const isTooFew = known && verdictOf(known, sidesOf(best.comparison, community)) === 'too-few';
  return reply({
    title: first ? `Cook next: ${batchWords(first.candidate)}` : 'Any batch will help',
    lines: [
      `${comparisonWords(best.comparison)} ${first?.standardError === undefined ? 'cannot be compared yet' : 'is what the community knows worst of what you can help with'}. ${can.words}`,
      ...shown.map(
        (batch, at) =>
          `${at + 1}. ${capitalise(batchWords(batch.candidate))}: ${gainWords(batch, widen)}; ${REASON_WORDS[batch.reason]}.`,
      ),
      planWords(plan, difference, isTooFew === true),
      ...scope.lines,
    ],
    sources: [
      fit === undefined
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

/** What the member can cook: by what their kit holds and what they have cooked before; anything when neither is known. */
function feasible(
  capacityMl: NextBatchRequest['capacityMl'],
  member: MemberTotals | undefined,
  fatsG: readonly number[],
) {
  const cooked = (method: Method) => (member?.columns[levelColumn(MODEL_DESIGN, 0, method)] ?? 0) > 0;
  // A pan says nothing of a smoker to put it in.
  const byKit = (method: Method) => method !== 'smoker' && capacityMl(method) > 0;
  const all = METHODS.map(({ value }) => value);
  const known = all.filter((method) => cooked(method) || byKit(method));
  const methods = known.length > 0 ? known : all;
  const candidates = methods.flatMap((method) =>
    CUTS.flatMap(({ value: cut }) => {
      const room = capacityMl(method);
      const fits = (fatG: number) => room === 0 || waterFor({ fatG, method, cut }).vesselMl <= room;
      return batchCandidates([method], [cut], fatsG.filter(fits));
    }),
  );
  return {
    candidates,
    words:
      known.length > 0
        ? 'These are batches that you can cook with your kit or have cooked before.'
        : 'Your kit is empty, so any method is taken; /kit add makes this fit you.',
  };
}

function knownOf(fit: Fit, { factor, first, second }: Comparison): Estimate | undefined {
  const difference = differenceBetween(
    fit,
    { levels: { [factor]: first } },
    { levels: { [factor]: second } },
  );
  return difference.kind === 'estimate' && difference.df > 0 ? difference : undefined;
}

/** Both sides of a comparison, as they are counted before anything is said of it. */
function sidesOf({ factor, first, second }: Comparison, community: CommunitySums): readonly [Side, Side] {
  const members = community.membersByLevel[factor === 'cut' ? 'cut' : 'method'];
  const summaries = levelSummaries(community.sums, factor);
  const side = (level: string): Side => ({
    batches: summaries.find((one) => one.level === level)?.batches ?? 0,
    members: members.get(level) ?? 0,
  });
  return [side(first), side(second)];
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
