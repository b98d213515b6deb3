import { type Figures, type Reply, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { interceptSums } from '../records/model-sums.js';
import { pooledSums } from '../records/pooled-sums.js';
import { intervalOf } from '../statistics/model/linear-estimate.js';
import {
  type NoInterval,
  type PooledYield,
  pooledYield,
  type YieldInterval,
} from '../statistics/questions/pooled-yield.js';
import { type TypicalYield, typicalYield } from '../statistics/questions/typical-cook.js';
import { roundWeightWords } from '../words/amounts.js';
import { countWords } from '../words/lists.js';
import { type Cut, cutLabel, type Method, methodLabel } from '../words/methods.js';
import { dayWords } from '../words/moments.js';
import {
  finePercentWords,
  intervalWords,
  isPossibleYield,
  percentWords,
  saysNothing,
} from '../words/yield-words.js';
import { fitSource } from './model-words.js';
import { oddFigures, type Scope, scopeOf } from './scope.js';

/** What all the fat together gave, and beside it what a typical cook gets. */
export async function pooled(
  db: Records,
  community: string,
  filter: {
    readonly method: Method | undefined;
    readonly cut: Cut | undefined;
    readonly from: Date | undefined;
  },
  zone: string,
): Promise<Reply> {
  const scope = await scopeOf(db, community, filter);
  const sums = await pooledSums(db, community, scope.filter);
  const words = scopeWords(filter.method, filter.cut, filter.from, zone);
  return describePooled(pooledYield(sums), typicalYield(interceptSums(sums)), scope, words);
}

function scopeWords(
  method: Method | undefined,
  cut: Cut | undefined,
  from: Date | undefined,
  zone: string,
): string {
  const parts = [
    method && methodLabel(method),
    cut && cutLabel(cut).toLowerCase(),
    from && `since ${dayWords(from, zone)}`,
  ].filter((part) => part !== undefined);
  return parts.length === 0 ? ALL_BATCHES : parts.join(', ');
}

const ALL_BATCHES = 'all batches';

/** All fat pooled beside the typical cook. */
export function describePooled(pooled: PooledYield, typical: TypicalYield, scope: Scope, words: string) {
  if (pooled.kind === 'no-batches') {
    return reply({
      title: 'No batches to pool yet',
      lines: [
        `Nothing is logged yet${words === ALL_BATCHES ? '' : `, ${words}`}. The first /batch log starts it.`,
        ...scope.lines,
      ],
      figures: { ...pooledFigures(pooled), ...oddFigures(scope) },
    });
  }
  const { estimate, interval, batches, members, fatG, tallowG, largestShare, effectiveMembers } = pooled;
  const cook = typicalCook(typical);
  return reply({
    title: `Pooled yield: ${finePercentWords(estimate)}`,
    lines: [
      `All fat pooled: ${roundWeightWords(tallowG)} of tallow from ${roundWeightWords(fatG)} of fat, ${words}. ${sureWords(estimate, interval)}`,
      cook.line,
      `${countWords(batches, 'batch', 'batches')} from ${countWords(members, 'member', 'members')}; the busiest logged ${percentWords(largestShare)} of them${
        members > 1
          ? `, so they tell as much as ${effectiveMembers.toFixed(1)} equally busy members would`
          : ''
      }.`,
      ...scope.lines,
    ],
    sources: [
      `${scope.whose}; all fat: interval by member, bias-reduced (CR2) with Satterthwaite’s degrees of freedom${typicalSource(typical)}`,
    ],
    figures: {
      ...pooledFigures(pooled),
      ...cook.figures,
      largestShare,
      largestShareOfFat: pooled.largestShareOfFat,
      effectiveMembers,
      ...oddFigures(scope),
    },
  });
}

function sureWords(estimate: number, interval: YieldInterval): string {
  if (estimate > 1) return 'More tallow than fat cannot be: look for a wrong weight.';
  if (interval.kind === 'interval') return intervalWords(interval);
  const { why, so } = NO_INTERVAL_WORDS[interval.because];
  return `No interval: ${why}, ${so}.`;
}

export function pooledFigures(pooled: PooledYield): Figures {
  if (pooled.kind === 'no-batches') return { batches: 0, members: 0, fatG: 0, tallowG: 0 };
  const { batches, members, fatG, tallowG, estimate, interval } = pooled;
  return {
    batches,
    members,
    fatG,
    tallowG,
    pooledYield: estimate,
    pooledYieldLow: interval.kind === 'interval' ? interval.low : null,
    pooledYieldHigh: interval.kind === 'interval' ? interval.high : null,
  };
}

function typicalCook(typical: TypicalYield) {
  const nothing = { typicalYield: null, typicalYieldLow: null, typicalYieldHigh: null };
  if (typical.kind === 'none') return { line: NO_TYPICAL_WORDS[typical.because], figures: nothing };
  const { fit, mean } = typical;
  if (fit.kind === 'least-squares' && fit.because === 'one-member') {
    return {
      line: 'Typical cook: not to be told from one cook; how much cooks differ is unknown.',
      figures: nothing,
    };
  }
  const { low, high } = intervalOf(mean);
  const sure = Number.isFinite(high - low);
  const figures = {
    typicalYield: mean.estimate,
    typicalYieldLow: sure ? low : null,
    typicalYieldHigh: sure ? high : null,
  };
  if (!isPossibleYield(mean.estimate))
    return { line: 'Typical cook: not to be told while some give more tallow than fat.', figures };
  if (sure && saysNothing({ low, high })) {
    const cooks = countWords(fit.members, 'cook', 'cooks');
    return { line: `Typical cook: not to be told from ${cooks} yet.`, figures };
  }
  const same =
    fit.kind === 'mixed' && fit.singular
      ? ' No difference between cooks detected so far; that does not prove there is none.'
      : '';
  return {
    line: `Typical cook: ${finePercentWords(mean.estimate)}. ${sure ? intervalWords({ low, high }) : 'No interval: too few batches.'}${same}`,
    figures,
  };
}

function typicalSource(typical: TypicalYield): string {
  return typical.kind === 'none' || typical.fit.members === 1
    ? ''
    : `; typical cook: ${fitSource(typical.fit)}`;
}

/** Why a pooled yield has no interval, and what that leaves open. */
export const NO_INTERVAL_WORDS: Readonly<Record<NoInterval, { readonly why: string; readonly so: string }>> =
  {
    'fewer-than-two-members': {
      why: 'only one member’s batches are in it',
      so: 'and how much cooks differ cannot be seen from one',
    },
    'no-spread': { why: 'every batch gave the same yield', so: 'so nothing shows how uncertain it is' },
    'one-member-holds-nearly-all': {
      why: 'nearly all of the fat is one member’s',
      so: 'so how much cooks differ cannot be seen',
    },
  };

const NO_TYPICAL_WORDS = {
  'no-batches': 'Typical cook: no batches yet.',
  'no-residual-df': 'Typical cook: not to be told from a single batch.',
  'no-spread': 'Typical cook: the same, as every batch gave the same yield.',
  'no-spread-within-members':
    'Typical cook: not to be told yet, as each cook got the same every time they cooked.',
} as const;
