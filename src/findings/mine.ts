import type { Call } from '../chat/call.js';
import { type Picture, type Reply, reply, withPicture } from '../chat/reply.js';
import type { Pictures } from '../pictures/pictures.js';
import { type DatedBatch, datedBatches } from '../records/batch-marks.js';
import { communityZone } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { type CommunitySums, interceptSums, memberSumsOf } from '../records/model-sums.js';
import { pooledSums } from '../records/pooled-sums.js';
import type { Interval } from '../statistics/model/linear-estimate.js';
import type { FitResult, MixedFit, NoMemberTerm } from '../statistics/model/mixed-model.js';
import {
  type MemberEffect,
  memberEffect,
  memberEffectInterval,
} from '../statistics/questions/member-effects.js';
import { typicalYield } from '../statistics/questions/typical-cook.js';
import { isHardlyKnown } from '../statistics/questions/verdict.js';
import { capitalise, countWords, listWords } from '../words/lists.js';
import {
  aroundNoneWords,
  finePercentWords,
  finePointsWords,
  moreOrLessWords,
  percentWords,
  pointsIntervalWords,
  withoutSign,
} from '../words/yield-words.js';
import { communityModelOf } from './community-model.js';
import { modelTerms, untimedWords } from './model-words.js';
import { oddFigures, type Scope } from './scope.js';

/** A member's own batches against the community's. */
export async function mine(db: Records, pictures: Pictures, call: Call): Promise<Reply> {
  const { community: name, member } = call;
  const { scope, community, fit } = await communityModelOf(db, name);
  const [everyone, dated, zone] = await Promise.all([
    pooledSums(db, name, scope.filter),
    datedBatches(db, name, member.id, scope.filter),
    communityZone(db, name),
  ]);
  const own = everyone.find((one) => one.member === member.id);
  if (own === undefined) {
    return reply({
      title: 'None of your batches count here yet',
      audience: 'only you',
      lines: noBatchesWords(scope, member.id),
      figures: { batches: 0, ...oddFigures(scope) },
    });
  }
  const ownYield = own.tallowG / own.fatG;
  const typical = typicalYield(interceptSums(everyone));
  const typicalMean = typical.kind === 'typical' && everyone.length > 1 ? typical.mean.estimate : undefined;
  const totals = await memberSumsOf(db, name, member.id, community, scope.filter);
  const effect = fit.kind === 'mixed' && totals ? memberEffect(fit, totals) : undefined;
  const interval = fit.kind === 'mixed' && totals ? memberEffectInterval(fit, totals) : undefined;
  const told = reply({
    title: `Your yield: ${finePercentWords(ownYield)}`,
    audience: 'only you',
    lines: [
      `${countWords(own.batches, 'batch', 'batches')} of yours.${typicalMean === undefined ? '' : ` A typical cook here gets ${finePercentWords(typicalMean)}.`}`,
      ...(fit.kind === 'mixed' && effect
        ? standingWords(fit, community, effect, interval)
        : [[noStandingWords(fit), ...untimedWords(community)].join(' ')]),
      ...scope.lines,
    ],
    sources: effect
      ? [
          `${scope.whose}: random intercept of a mixed model (best linear unbiased prediction), 95 % interval that allows for the spreads being estimated (Prasad and Rao 1990)`,
        ]
      : [],
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
  return withPicture(told, pictureOf(pictures, dated, { ownYield, typicalMean, zone }), call.missed);
}

/** Why none of one's batches count: those that look odd may be left out, and else there are none. */
function noBatchesWords({ odd, counted, lines }: Scope, member: string): readonly string[] {
  const ownOdd = counted ? 0 : odd.filter(({ memberId }) => memberId === member).length;
  return ownOdd === 0
    ? ['Log one with /batch log and it shows up here.', ...lines]
    : [
        `Your ${countWords(ownOdd, 'batch looks odd and is', 'batches look odd and are')} left out.`,
        ...lines,
      ];
}

function standingWords(
  fit: MixedFit,
  community: CommunitySums,
  { batches, effect, kept }: MemberEffect,
  interval: Interval | undefined,
): readonly string[] {
  const terms = modelTerms(fit, 'cook').filter((term) => term !== 'cook');
  const allowed =
    terms.length === 0 ? 'As far as can be told' : `${capitalise(listWords(terms))} allowed for`;
  const said = (words: string) => [`${allowed}, ${words}.`, ...untimedWords(community)].join(' ');
  if (fit.singular)
    return [said('no difference between cooks is detected so far; that does not prove there is none')];
  const belief = `With ${countWords(batches, 'batch', 'batches')} of yours to go by, ${percentWords(kept)} of what sets your average apart is believed and the rest put down to luck; more batches, more belief.`;
  if (interval === undefined || isHardlyKnown(interval))
    return [said('how you stand against a typical cook is hardly known yet'), belief];
  const { low, high } = interval;
  const clear = low > 0 || high < 0;
  const ends = withoutSign(effect, interval);
  return [
    clear
      ? said(
          `you get ${finePointsWords(effect)} ${effect > 0 ? 'more' : 'less'} than a typical cook (95 % interval ${pointsIntervalWords(ends)})`,
        )
      : said(
          `there is no clear difference yet between you and a typical cook (best guess: ${moreOrLessWords(effect)}; 95 % interval: ${aroundNoneWords(interval)})`,
        ),
    belief,
  ];
}

function noStandingWords(fit: FitResult): string {
  if (fit.kind === 'none') return 'Too few batches here to tell what sets you apart.';
  if (fit.kind === 'mixed')
    return 'None of your batches say how long they rendered, so you cannot be placed yet.';
  return NO_MEMBER_WORDS[fit.because];
}

const NO_MEMBER_WORDS: Readonly<Record<NoMemberTerm, string>> = {
  'one-member': 'All batches here are yours: how you stand among cooks is unknown.',
  'one-batch-each':
    'Everybody has cooked once, so what is the cook and what is the batch cannot be told apart yet.',
  'nothing-repeated': 'Too few batches here yet to tell cooks from batches.',
  'each-their-own-way': 'Each cook keeps to ways of their own, so cooks cannot be told from methods yet.',
};

async function pictureOf(
  pictures: Pictures,
  dated: readonly DatedBatch[],
  {
    ownYield,
    typicalMean,
    zone,
  }: { readonly ownYield: number; readonly typicalMean: number | undefined; readonly zone: string },
): Promise<Picture> {
  const own = dated.filter((batch) => batch.own).length;
  const others = dated.length - own;
  const among = others === 0 ? '' : `, among ${others} of others`;
  const typical =
    typicalMean === undefined
      ? ''
      : ` The line is what a typical cook gets, ${finePercentWords(typicalMean)}.`;
  return {
    name: 'yield-mine.png',
    alt: `Your newest ${countWords(own, 'batch', 'batches')} over time, ${finePercentWords(ownYield)} of all your fat${among}.${typical}`,
    png: await pictures.scatter({
      title: 'Your yields over time',
      caption: captionOf(others, typicalMean),
      axis: 'day',
      zone,
      marks: dated.map((batch) => ({
        x: batch.finishedAt.getTime(),
        yield: batch.yield,
        fatG: batch.fatG,
        own: batch.own,
      })),
      line: [],
      level: typicalMean,
    }),
  };
}

const captionOf = (others: number, typicalMean: number | undefined): string =>
  [
    others === 0
      ? 'Dots: your batches, larger for more fat.'
      : 'Dark dots: your batches. Light dots: others’. Larger for more fat.',
    ...(typicalMean === undefined ? [] : ['Line: a typical cook.']),
  ].join(' ');
