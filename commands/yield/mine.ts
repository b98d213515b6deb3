import { deed } from '../../src/chat/command.js';
import { type Picture, reply } from '../../src/chat/reply.js';
import { scatterPicture } from '../../src/pictures/scatter-picture.js';
import type { Records } from '../../src/records/database.js';
import { interceptSums, memberSumsOf } from '../../src/records/model-sums.js';
import { type DatedBatch, datedBatches } from '../../src/records/own-batches.js';
import { pooledSums } from '../../src/records/pooled-sums.js';
import { intervalOf } from '../../src/statistics/linear-estimate.js';
import { type MemberEffect, memberEffect } from '../../src/statistics/member-effects.js';
import type { FitResult, NoMemberTerm } from '../../src/statistics/mixed-model.js';
import { typicalYield } from '../../src/statistics/typical-cook.js';
import { communityModelOf } from '../shared/community-model.js';
import { oddFigures } from '../shared/scope.js';
import { countWords, finePercentWords, percentWords } from '../shared/words.js';
import { finePointsWords, pointsIntervalWords } from './words.js';

/** `/yield mine`: one's own batches against the community's. */
export function mineDeed(db: Records) {
  return deed({
    description: 'Your own batches over time, and how you stand, method, cut, weight and time allowed for',
    audience: 'only you',
    options: {},
    async run(_values, call) {
      const { community, member } = call;
      const { scope, sums, fit } = await communityModelOf(db, community);
      const [everyone, dated] = await Promise.all([
        pooledSums(db, community, scope.filter),
        datedBatches(db, community, member.id, scope.filter),
      ]);
      const own = everyone.find((one) => one.member === member.id);
      if (own === undefined) {
        return reply({
          title: 'None of your batches count here yet',
          audience: 'only you',
          lines: ['Log one with /batch log and it shows up here.'],
          figures: { batches: 0 },
        });
      }
      const ownYield = own.tallowG / own.fatG;
      const typical = typicalYield(interceptSums(everyone));
      const typicalMean =
        typical.kind === 'typical' && everyone.length > 1 ? typical.mean.estimate : undefined;
      const totals = await memberSumsOf(db, community, member.id, sums, scope.filter);
      const effect = fit.kind === 'mixed' && totals ? memberEffect(fit, totals) : undefined;
      const interval = effect && fit.kind === 'mixed' ? effectInterval(effect, fit.residualDf) : undefined;
      return reply({
        title: `Your yield: ${finePercentWords(ownYield)}`,
        audience: 'only you',
        lines: [
          `${countWords(own.batches, 'batch', 'batches')} of yours.${typicalMean === undefined ? '' : ` A typical cook here gets ${finePercentWords(typicalMean)}.`}`,
          ...(effect && interval ? standingWords(effect, interval) : [noStandingWords(fit)]),
          ...scope.lines,
        ],
        picture: await pictureOf(dated, ownYield, typicalMean),
        sources: [
          'This community’s batches: random intercept of a mixed model (best linear unbiased prediction), 95 % interval',
        ],
        figures: {
          batches: own.batches,
          ownYield,
          typicalYield: typicalMean ?? null,
          standing: effect?.effect ?? null,
          standingLow: interval?.low ?? null,
          standingHigh: interval?.high ?? null,
          ownShare: effect?.kept ?? null,
          ...oddFigures(scope),
        },
      });
    },
  });
}

function effectInterval({ effect, errorSd }: MemberEffect, df: number) {
  return intervalOf({ estimate: effect, standardError: errorSd, df });
}

function standingWords(
  { batches, effect, kept }: MemberEffect,
  interval: { readonly low: number; readonly high: number },
): readonly string[] {
  const allowed = 'Method, cut, starting weight and time allowed for';
  if (kept === 0)
    return [`${allowed}, no difference between cooks is detected so far; that does not prove there is none.`];
  const { low, high } = interval;
  const ends = `95 % interval ${pointsIntervalWords(effect < 0 ? { low: -high, high: -low } : interval)}`;
  const clear = low > 0 || high < 0;
  return [
    clear
      ? `${allowed}, you get ${finePointsWords(effect)} ${effect > 0 ? 'more' : 'less'} than a typical cook (${ends}).`
      : `${allowed}, there is no clear difference yet between you and a typical cook (best guess: ${finePointsWords(effect)} ${effect > 0 ? 'more' : 'less'}, ${ends}).`,
    `With ${countWords(batches, 'batch', 'batches')} of yours to go by, ${percentWords(kept)} of what sets your average apart is believed and the rest put down to luck; more batches, more belief.`,
  ];
}

function noStandingWords(fit: FitResult): string {
  if (fit.kind === 'none') return 'Too few batches here to allow for method, cut, weight and time.';
  if (fit.kind === 'mixed')
    return 'None of your batches say how long they rendered, so you cannot be placed yet.';
  return NO_MEMBER_WORDS[fit.because];
}

const NO_MEMBER_WORDS: Readonly<Record<NoMemberTerm, string>> = {
  'one-member': 'All batches here are yours: how you stand among cooks is unknown.',
  'one-batch-each':
    'Everybody has cooked once, so what is the cook and what is the batch cannot be told apart yet.',
  'nothing-repeated': 'Nobody has cooked the same way twice, so cooks cannot be told from batches yet.',
  'each-their-own-way': 'Each cook keeps to ways of their own, so cooks cannot be told from methods yet.',
};

async function pictureOf(
  dated: readonly DatedBatch[],
  ownYield: number,
  typicalMean: number | undefined,
): Promise<Picture> {
  const days = dated.map(({ finishedAt }) => finishedAt.getTime());
  const [from, to] = [Math.min(...days), Math.max(...days)];
  const own = dated.filter((batch) => batch.own).length;
  const line =
    typicalMean === undefined || from === to ? [] : [from, to].map((x) => ({ x, mean: typicalMean }));
  const typical =
    typicalMean === undefined
      ? ''
      : ` The line is what a typical cook gets, ${finePercentWords(typicalMean)}.`;
  return {
    name: 'yield-mine.png',
    alt: `Your newest ${countWords(own, 'batch', 'batches')} over time, ${finePercentWords(ownYield)} of all your fat, among ${dated.length - own} of others.${typical}`,
    png: await scatterPicture({
      title: 'Your yields over time',
      caption: `Dark dots: your batches. Light dots: others’. Larger for more fat.${line.length > 0 ? ' Line: a typical cook.' : ''}`,
      axis: 'day',
      marks: dated.map((batch) => ({
        x: batch.finishedAt.getTime(),
        yield: batch.yield,
        fatG: batch.fatG,
        own: batch.own,
      })),
      line,
    }),
  };
}
