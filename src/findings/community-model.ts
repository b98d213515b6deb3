import { keptWhileUnchanged } from '../records/kept.js';
import { type CommunitySums, communitySums, memberSumsOf } from '../records/model-sums.js';
import { countsOddBatches } from '../records/odd-batches.js';
import type { PoolFilter } from '../records/pooled-sums.js';
import { type FitResult, fitMixedModel } from '../statistics/model/mixed-model.js';
import { type ForecastModel, forecastModel } from '../statistics/questions/forecast.js';
import { type Scope, scopeOf } from './scope.js';

/** The batches of a community that count, as the mixed model sees them. */
export interface CountedBatches {
  readonly sums: CommunitySums;
  readonly fit: FitResult;
  readonly forecastModel: ForecastModel;
  /** The batches that these are. */
  readonly filter: PoolFilter;
}

/** The same, with what is said of odd ones among them. */
export interface CommunityModel extends CountedBatches {
  readonly scope: Scope;
}

// All of it is kept until a batch changes, as every answer about water asks for it.

const allBatches = keptWhileUnchanged(async (db, community): Promise<CountedBatches> => {
  return fitted(await communitySums(db, community), {});
});

/** They are added up while odd ones are looked for, and once more only where some are left out. */
export const communityModelOf = keptWhileUnchanged(async (db, community): Promise<CommunityModel> => {
  const [scope, all] = await Promise.all([scopeOf(db, community), allBatches(db, community)]);
  if (scope.counted || scope.odd.length === 0) return { ...all, scope, filter: scope.filter };
  return { ...fitted(await communitySums(db, community, scope.filter), scope.filter), scope };
});

function fitted(sums: CommunitySums, filter: PoolFilter): CountedBatches {
  const fit = fitMixedModel(sums.sums);
  return { sums, fit, forecastModel: forecastModel(sums.sums, sums.logged, fit), filter };
}

/** Looks for odd batches only where they do not count: it takes longer than all the rest. */
export const countedBatchesOf = keptWhileUnchanged(async (db, community): Promise<CountedBatches> => {
  const [counted, all] = await Promise.all([countsOddBatches(db, community), allBatches(db, community)]);
  return counted ? all : communityModelOf(db, community);
});

/** A small row for each member who asks. */
const MOST_MEMBERS = 2000;

/** What one member's batches add up to among those; undefined when none of theirs count. */
export const ownSumsOf = keptWhileUnchanged(async (db, community, member: string) => {
  const { sums, filter } = await countedBatchesOf(db, community);
  return memberSumsOf(db, community, member, sums, filter);
}, MOST_MEMBERS);
