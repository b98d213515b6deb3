import { keptWhileUnchanged } from '../../src/records/kept.js';
import { type CommunitySums, communitySums } from '../../src/records/model-sums.js';
import { type ForecastModel, forecastModel } from '../../src/statistics/forecast.js';
import { type Scope, scopeOf } from './scope.js';

/** All batches of a community that count, as the mixed model sees them. */
export interface CommunityModel {
  readonly scope: Scope;
  readonly sums: CommunitySums;
  readonly forecastModel: ForecastModel;
}

/**
 * The batches are added up while odd ones are looked for, and once more only where some are left out. Kept until one of
 * them changes, as every answer about water asks for it.
 */
export const communityModelOf = keptWhileUnchanged(async (db, community): Promise<CommunityModel> => {
  const [scope, all] = await Promise.all([scopeOf(db, community), communitySums(db, community)]);
  const leftOut = !scope.counted && scope.odd.length > 0;
  const sums = leftOut ? await communitySums(db, community, scope.filter) : all;
  return { scope, sums, forecastModel: forecastModel(sums.sums) };
});
