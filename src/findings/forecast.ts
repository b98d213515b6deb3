import type { Call } from '../chat/call.js';
import { type Reply, reply } from '../chat/reply.js';
import { FAT_CONTENT, type RawFat, timesTrimmings, usualYield } from '../cooking/blends/tallow.js';
import type { Records } from '../records/database.js';
import type { CommunitySums } from '../records/model-sums.js';
import { sourceLines } from '../safety/sources.js';
import { type Forecast, forecastYield } from '../statistics/questions/forecast.js';
import { minutesWords, roundWeightWords, weightRangeWords, weightWords } from '../words/amounts.js';
import { countWords } from '../words/lists.js';
import { type Cut, cutLabel, type Method, methodLabel } from '../words/methods.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import { countedBatchesOf, ownSumsOf } from './community-model.js';
import { oddFigures, scopeOf } from './scope.js';

export interface BatchToForecast {
  readonly method: Method;
  readonly cut: Cut;
  readonly fatG: number;
  /** Undefined: as long as batches by the method usually take here. */
  readonly minutes?: number | undefined;
  /** Trimmings unless said: no more is expected than it holds. */
  readonly rawFat?: RawFat | undefined;
}

/** What a batch of one member will probably yield, with what that rests on. */
interface MemberForecast {
  readonly forecast: Forecast;
  readonly community: CommunitySums;
  /** Batches of the member's own that are in it. */
  readonly ownBatches: number;
  /** Whether cooks and batches could be told apart, so that an own history is drawn towards everyone's. */
  readonly cooksToldApart: boolean;
  /** Whether the time it takes makes a difference to it. */
  readonly allowsForTime: boolean;
}

/** The yield to expect of a member's next batch: from their own batches, the community's, common practice, or a blend. */
export async function forecastFor(
  db: Records,
  name: string,
  member: string,
  { method, cut, fatG, minutes, rawFat = 'trimmings' }: BatchToForecast,
): Promise<MemberForecast> {
  const [{ community, forecastModel }, own] = await Promise.all([
    countedBatchesOf(db, name),
    ownSumsOf(db, name, member),
  ]);
  // Batches are nearly all of trimmings, so they say what trimmings give.
  const ofTrimmings = forecastYield(
    forecastModel,
    { method, cut, fatG, minutes, member: own },
    { commonPractice: usualYield(cut, method, 'trimmings'), ceiling: FAT_CONTENT.trimmings.typical },
  );
  const times = timesTrimmings(rawFat);
  const { low, expected, high } = ofTrimmings;
  const forecast = { ...ofTrimmings, low: low * times, expected: expected * times, high: high * times };
  return {
    forecast,
    community,
    ownBatches: own?.columns[0] ?? 0,
    cooksToldApart: forecastModel.fit?.kind === 'mixed',
    allowsForTime: forecast.basis !== 'common-practice' && forecastModel.choice.covariates.includes('hours'),
  };
}

/** What a forecast rests on, in one sentence. */
function basisWords(known: MemberForecast, cut: Cut, method: Method): string {
  const { forecast, community } = known;
  const { basis, trust } = forecast;
  const all = `${countWords(community.sums.total.batches, 'batch', 'batches')} of ${countWords(community.members, 'member', 'members')}`;
  const yours = ownWords(known);
  const { low, high } = usualYield(cut, method, 'trimmings');
  const usual = `common practice, ${percentRangeWords(low, high)} for ${cutLabel(cut).toLowerCase()} fat`;
  switch (basis) {
    case 'own-history':
    case 'community':
      return `From this community’s ${all}.${yours}`;
    case 'blend':
      return `A blend: ${percentWords(trust)} this community’s ${all}, ${percentWords(1 - trust)} ${usual}.${yours}`;
    case 'common-practice':
      return community.sums.total.batches === 0
        ? `Nothing is logged here yet: this is ${usual}.`
        : `This community’s ${all} cannot tell yet what this method and cut give: this is ${usual}.`;
  }
}

/** What the member's own batches do to it. */
function ownWords({ forecast, community, ownBatches, cooksToldApart }: MemberForecast): string {
  if (ownBatches === 0) return ' You have no batches in it, so how much cooks differ is counted in.';
  const own = countWords(ownBatches, 'batch', 'batches');
  if (community.members === 1) return ` All ${own} are yours.`;
  if (cooksToldApart)
    return ` Of what sets your own ${own} apart, ${percentWords(forecast.ownShare)} is kept; the rest is drawn to everyone’s.`;
  return forecast.ownShare === 1
    ? ` Your own ${own} are all that there is by this method.`
    : ` Your own ${own} cannot be told apart from everyone’s yet.`;
}

/** How much tallow a member's next batch will probably give. */
export async function nextYield(db: Records, call: Call, request: BatchToForecast): Promise<Reply> {
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
      basisWords(known, cut, method),
      ...beyondLines(known, { fatG, minutes }),
      ...(high > FAT_CONTENT[rawFat].typical - 1e-9 ? [heldWords(rawFat)] : []),
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
