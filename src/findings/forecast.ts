import { EXPECTED_YIELD, FAT_CONTENT, type RawFat } from '../cooking/blends/tallow.js';
import type { Records } from '../records/database.js';
import type { CommunitySums } from '../records/model-sums.js';
import { type Forecast, forecastYield } from '../statistics/questions/forecast.js';
import { countWords } from '../words/lists.js';
import { type Cut, cutLabel, type Method } from '../words/methods.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import { countedBatchesOf, ownSumsOf } from './community-model.js';

export interface ForecastRequest {
  readonly method: Method;
  readonly cut: Cut;
  readonly fatG: number;
  /** Undefined: as long as batches by the method usually take here. */
  readonly minutes?: number | undefined;
  /** Trimmings unless said: no more is expected than it holds. */
  readonly rawFat?: RawFat | undefined;
}

/** What a batch of one member will probably yield, with what that rests on. */
export interface MemberForecast {
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
  { method, cut, fatG, minutes, rawFat = 'trimmings' }: ForecastRequest,
): Promise<MemberForecast> {
  const [{ community, forecastModel }, own] = await Promise.all([
    countedBatchesOf(db, name),
    ownSumsOf(db, name, member),
  ]);
  const forecast = forecastYield(
    forecastModel,
    { method, cut, fatG, minutes, member: own },
    { commonPractice: EXPECTED_YIELD[cut], ceiling: FAT_CONTENT[rawFat].typical },
  );
  return {
    forecast,
    community,
    ownBatches: own?.columns[0] ?? 0,
    cooksToldApart: forecastModel.fit?.kind === 'mixed',
    allowsForTime: forecast.basis !== 'common-practice' && forecastModel.choice.covariates.includes('hours'),
  };
}

/** What a forecast rests on, in one sentence. */
export function basisWords(known: MemberForecast, cut: Cut): string {
  const { forecast, community } = known;
  const { basis, trust } = forecast;
  const all = `${countWords(community.sums.total.batches, 'batch', 'batches')} of ${countWords(community.members, 'member', 'members')}`;
  const yours = ownWords(known);
  const { low, high } = EXPECTED_YIELD[cut];
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
