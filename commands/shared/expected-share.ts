import type { Call } from '../../src/chat/call.js';
import type { Records } from '../../src/records/database.js';
import type { Cut } from '../../src/trade/methods.js';
import { EXPECTED_YIELD } from '../../src/trade/tallow.js';
import { type ForecastRequest, forecastFor } from './forecast.js';
import { countWords, percentWords } from './words.js';

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
}

const DIGITS = 4;

/**
 * What a member may expect, to as many digits as fit behind a button; undefined where the community's batches say no
 * more than common practice.
 */
export async function expectedShareFor(
  db: Records,
  call: Call,
  request: ForecastRequest,
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
  };
}

/**
 * The forecast that fat is gathered by, and then expected from as well. Undefined when there is none, or one whose low
 * end is so far below what the cut usually gives that nobody could gather by it.
 */
export function shareToGatherBy(share: ExpectedShare | undefined, cut: Cut): ExpectedShare | undefined {
  return share !== undefined && share.low >= EXPECTED_YIELD[cut].low / 2 ? share : undefined;
}

/** Where a share comes from: “from this community’s 34 batches of 12 members, 3 of them yours”. */
export function shareWords({ trust, batches, members, ownBatches }: ExpectedShare): string {
  const yours = ownBatches > 0 ? `, ${ownBatches} of them yours` : '';
  const all = `this community’s ${countWords(batches, 'batch', 'batches')} of ${countWords(members, 'member', 'members')}${yours}`;
  return trust < 1
    ? `${percentWords(trust)} from ${all}, ${percentWords(1 - trust)} common practice`
    : `from ${all}`;
}

export const SHARE_SOURCE = 'This community’s batches: mixed model, 80 % prediction interval';

/** As it is carried behind a button. */
export function packedShare(share: ExpectedShare): string {
  const { low, expected, high, trust, batches, members, ownBatches } = share;
  return [low, expected, high, trust, batches, members, ownBatches].join();
}

export function unpackedShare(text: string): ExpectedShare | undefined {
  const numbers = text.split(',').map(Number);
  const [low = -1, expected = -1, high = -1, trust = -1, batches = -1, members = -1, ownBatches = -1] =
    numbers;
  const isOne =
    numbers.length === 7 &&
    0 <= low &&
    low <= expected &&
    expected <= high &&
    0 < high &&
    high <= 1 &&
    0 < trust &&
    trust <= 1 &&
    [batches, members, ownBatches].every((count) => Number.isSafeInteger(count) && count >= 0);
  return isOne ? { low, expected, high, trust, batches, members, ownBatches } : undefined;
}
