import { DateTime } from 'luxon';
import type { Call } from '../src/chat/call.js';
import { command, deed, refuseUnreadable } from '../src/chat/command.js';
import { reply } from '../src/chat/reply.js';
import { readPastDay } from '../src/chat/when.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { pooledSums } from '../src/records/pooled-sums.js';
import { type NoInterval, type PooledYield, pooledYield } from '../src/statistics/pooled-yield.js';
import { type Cut, cutLabel, type Method, methodLabel } from '../src/trade/methods.js';
import * as option from './options.js';
import { countWords, dayWords, finePercentWords, percentWords, roundWeightWords } from './words.js';

/** `/yield`: what the community's batches say. */
export function yieldCommand(db: Records) {
  return command({
    name: 'yield',
    description: 'What the community’s batches say',
    where: 'server',
    deeds: {
      pooled: deed({
        description: 'All the tallow over all the fat, with how sure that is',
        options: { since: option.since(), method: option.method(false), cut: option.cut(false) },
        async run({ since, method, cut }, call) {
          const zone = await communityZone(db, call.community);
          const from = readSince(since, zone, call);
          if ('problem' in from) return refuseUnreadable([from.problem]);
          const pooled = pooledYield(await pooledSums(db, call.community, { method, cut, from: from.at }));
          return describePooled(pooled, scopeWords(method, cut, from.at, zone));
        },
      }),
    },
  });
}

function readSince(
  text: string | undefined,
  zone: string,
  call: Call,
): { readonly at: Date | undefined } | { readonly problem: string } {
  if (text === undefined) return { at: undefined };
  const read = readPastDay(text, call.now, zone);
  if (!read.ok) return { problem: `since: ${read.problem}` };
  return { at: DateTime.fromJSDate(read.value, { zone }).startOf('day').toJSDate() };
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
  return parts.length === 0 ? 'all batches' : parts.join(', ');
}

function describePooled(pooled: PooledYield, scope: string) {
  if (pooled.kind === 'no-batches') {
    return reply({
      title: 'No batches to pool yet',
      lines: [`Nothing is logged for ${scope}. The first /batch log starts it.`],
      figures: { batches: 0, members: 0, fatG: 0, tallowG: 0 },
    });
  }
  const { estimate, interval, batches, members, fatG, tallowG, largestShare } = pooled;
  const sure =
    interval.kind === 'interval'
      ? `95 % interval ${finePercentWords(Math.max(0, interval.low))} to ${finePercentWords(Math.min(1, interval.high))}: the range in which the true figure of cooks like these most likely lies.`
      : NO_INTERVAL_WORDS[interval.because];
  return reply({
    title: `Pooled yield: ${finePercentWords(estimate)}`,
    lines: [
      `${roundWeightWords(tallowG)} of tallow from ${roundWeightWords(fatG)} of fat, ${scope}.`,
      sure,
      `${countWords(batches, 'batch', 'batches')} from ${countWords(members, 'member', 'members')}; the busiest logged ${percentWords(largestShare)} of them.`,
    ],
    sources: [
      'This community’s batches; interval by member, bias-reduced (CR2) with Satterthwaite’s degrees of freedom',
    ],
    figures: {
      batches,
      members,
      fatG,
      tallowG,
      pooledYield: estimate,
      pooledYieldLow: interval.kind === 'interval' ? interval.low : null,
      pooledYieldHigh: interval.kind === 'interval' ? interval.high : null,
      largestShare,
    },
  });
}

const NO_INTERVAL_WORDS: Readonly<Record<NoInterval, string>> = {
  'fewer-than-two-members':
    'No interval: only one member’s batches are in it, and how much cooks differ cannot be seen from one.',
  'no-spread': 'No interval: every batch gave the same yield, so nothing shows how uncertain it is.',
  'one-member-holds-nearly-all':
    'No interval: nearly all of the fat is one member’s, so how much cooks differ cannot be seen.',
};
