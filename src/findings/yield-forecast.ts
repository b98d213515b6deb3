import type { Call } from '../chat/call.js';
import { type Reply, reply } from '../chat/reply.js';
import { FAT_CONTENT, type RawFat } from '../cooking/blends/tallow.js';
import type { Records } from '../records/database.js';
import { sourceLines } from '../safety/sources-shown.js';
import { minutesWords, roundWeightWords, weightRangeWords, weightWords } from '../words/amounts.js';
import { cutLabel, methodLabel } from '../words/methods.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import { basisWords, type ForecastRequest, forecastFor, type MemberForecast } from './forecast.js';
import { oddFigures, scopeOf } from './scope.js';

/** How much tallow a member's next batch will probably give. */
export async function nextYield(db: Records, call: Call, request: ForecastRequest): Promise<Reply> {
  const { method, cut, fatG, minutes, rawFat = 'trimmings' } = request;
  const [known, scope] = await Promise.all([
    forecastFor(db, call.community, call.member.id, request),
    scopeOf(db, call.community),
  ]);
  const { forecast, community, ownBatches } = known;
  const { expected, low, high, level, basis } = forecast;
  const timeless =
    minutes !== undefined && !known.allowsForTime
      ? ['How long it renders makes no difference to this: the batches do not tell it apart.']
      : [];
  return reply({
    title: `Expect about ${roundWeightWords(expected * fatG)} of tallow`,
    lines: [
      `${percentWords(expected)} of ${weightWords(fatG)} of fat; ${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}.`,
      `${basis === 'common-practice' ? 'Usual is' : '8 batches in 10 like this should give'} ${weightRangeWords(low * fatG, high * fatG)}, ${percentRangeWords(low, high)}.`,
      basisWords(known, cut),
      ...beyondLines(known, { fatG, minutes }),
      ...(high === FAT_CONTENT[rawFat].typical ? [heldWords(rawFat)] : []),
      ...timeless,
      ...scope.lines,
    ],
    sources: [
      ...(basis === 'common-practice'
        ? []
        : [
            `This community’s batches: ${known.cooksToldApart ? 'mixed model' : 'least squares'}, 80 % prediction interval`,
          ]),
      ...(basis === 'common-practice' || basis === 'blend' ? sourceLines(['practice-yield']) : []),
    ],
    figures: {
      fatG,
      expectedYield: expected,
      expectedYieldLow: low,
      expectedYieldHigh: high,
      tallowG: expected * fatG,
      tallowLowG: low * fatG,
      tallowHighG: high * fatG,
      level,
      trust: forecast.trust,
      ownShare: forecast.ownShare,
      ownBatches,
      batches: community.sums.total.batches,
      members: community.members,
      ...oddFigures(scope),
    },
  });
}

const heldWords = (rawFat: RawFat): string =>
  rawFat === 'suet'
    ? `No more than the ${percentWords(FAT_CONTENT.suet.typical)} that suet holds.`
    : `No more than the ${percentWords(FAT_CONTENT.trimmings.typical)} that trimmings hold; if it is suet, say kind:suet.`;

/** Nobody knows what lies beyond what was logged. */
function beyondLines(
  { forecast: { beyond }, allowsForTime }: MemberForecast,
  asked: { readonly fatG: number; readonly minutes: number | undefined },
): readonly string[] {
  const { log_fat_kg: logFatKg, hours } = beyond;
  const said: string[] = [];
  if (logFatKg !== undefined) {
    const fatG = 1000 * Math.exp(logFatKg);
    said.push(`${asked.fatG > fatG ? 'heaviest' : 'lightest'} so far, ${roundWeightWords(fatG)} of fat`);
  }
  if (hours !== undefined && allowsForTime) {
    const minutes = 60 * hours;
    said.push(`${(asked.minutes ?? 0) > minutes ? 'longest' : 'shortest'}, ${minutesWords(minutes)}`);
  }
  return said.length === 0
    ? []
    : [
        `Beyond what is logged here it is reckoned like the ${said.join(' and the ')}; it may be further off.`,
      ];
}
