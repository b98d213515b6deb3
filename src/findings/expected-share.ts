import type { Call } from '../chat/call.js';
import { EXPECTED_YIELD } from '../cooking/blends/tallow.js';
import type { Records } from '../records/database.js';
import { countWords } from '../words/lists.js';
import type { Cut } from '../words/methods.js';
import { percentWords } from '../words/yield-words.js';
import { type BatchToForecast, forecastFor } from './forecast.js';

/** The share of raw fat that becomes tallow, as this community's batches forecast it for one member. */
export interface ExpectedShare {
  readonly low: number;
  readonly expected: number;
  readonly high: number;
  /** Weight of the community's batches; the rest is common practice. */
  readonly trust: number;
  readonly batches: number;
  readonly members: number;
  readonly ownBatches: number;
  /** Reckoned like the nearest that was logged, as this weight or time lies beyond. */
  readonly isBeyond: boolean;
}

const DIGITS = 4;

/**
 * What a member may expect, to four digits; undefined where the community's batches say no
 * more than common practice.
 */
export async function expectedShareFor(
  db: Records,
  call: Call,
  request: BatchToForecast,
): Promise<ExpectedShare | undefined> {
  const { forecast, community, ownBatches } = await forecastFor(db, call.community, call.member.id, request);
  if (forecast.basis === 'common-practice') return undefined;
  const round = (fraction: number) => Number(fraction.toFixed(DIGITS));
  return {
    low: round(forecast.low),
    expected: round(forecast.expected),
    high: round(forecast.high),
    trust: round(forecast.trust),
    batches: community.sums.total.batches,
    members: community.members,
    ownBatches,
    isBeyond: Object.keys(forecast.beyond).length > 0,
  };
}

/**
 * The forecast that fat is gathered by, and then expected from as well. Undefined when there is none, or one whose low
 * end is so far below what the cut usually gives that nobody could gather by it.
 */
export function shareToGatherBy(share: ExpectedShare | undefined, cut: Cut): ExpectedShare | undefined {
  return share !== undefined && share.low >= EXPECTED_YIELD[cut].low / 2 ? share : undefined;
}

/**
 * Where a share comes from: “from this community’s 34 batches of 12 members, 3 of them yours”.
 * @param own how the batches of whoever asked are called
 */
export function shareWords(
  { trust, batches, members, ownBatches, isBeyond }: ExpectedShare,
  own = 'yours',
): string {
  const yours = ownBatches > 0 ? `, ${ownBatches} of them ${own}` : '';
  const beyond = isBeyond ? '; nobody here has logged such a weight or time, so it may be further off' : '';
  const all = `this community’s ${countWords(batches, 'batch', 'batches')} of ${countWords(members, 'member', 'members')}${yours}`;
  return trust < 1
    ? `${percentWords(trust)} from ${all}, ${percentWords(1 - trust)} common practice${beyond}`
    : `from ${all}${beyond}`;
}

export const SHARE_SOURCE = 'This community’s batches: 80 % prediction interval';
