import type { Pictures } from '../pictures/pictures.js';
import type { BatchMark } from '../records/batch-marks.js';
import { communitySettings } from '../records/communities.js';
import { keptWhileUnchanged } from '../records/kept.js';
import { type CommunitySums, communitySums, memberSumsOf } from '../records/model-sums.js';
import type { PoolFilter } from '../records/pooled-sums.js';
import { type Fit, type FitResult, fitMixedModel } from '../statistics/model/mixed-model.js';
import { type ForecastModel, forecastModel } from '../statistics/questions/forecast.js';
import { type Scope, scopeOf } from './scope.js';

/** What some batches add up to, and the mixed model fitted to them. */
export interface BatchModel {
  readonly community: CommunitySums;
  readonly fit: FitResult;
  /**
   * The same fit without the covariates that cannot be told apart from the rest, such as the time of methods that always
   * take as long: what is forecast from, and what methods and cuts are compared in.
   */
  readonly forecastModel: ForecastModel;
}

/** The same, with which batches they are and what is said of odd ones among them. */
export interface CommunityModel extends BatchModel {
  readonly scope: Scope;
}

/** One that could be fitted. */
export interface FittedModel extends CommunityModel {
  readonly fit: Fit;
}

/** What a comparison is drawn with: the single batches behind it, who draws, and who hears why it could not be drawn. */
export interface Illustration {
  readonly marksOf: () => Promise<readonly BatchMark[]>;
  readonly pictures: Pictures;
  readonly missed: (error: unknown) => void;
}

export function batchModel(community: CommunitySums): BatchModel {
  const fit = fitMixedModel(community.sums);
  return { community, fit, forecastModel: forecastModel(community.sums, community.logged, fit) };
}

// All of it is kept until a batch changes, as every answer about water asks for it.

const allBatches = keptWhileUnchanged(async (db, name) => batchModel(await communitySums(db, name)));

/** They are added up while odd ones are looked for, and once more only where some are left out. */
export const communityModelOf = keptWhileUnchanged(async (db, name): Promise<CommunityModel> => {
  const [scope, all] = await Promise.all([scopeOf(db, name), allBatches(db, name)]);
  if (scope.counted || scope.odd.length === 0) return { ...all, scope };
  return { ...batchModel(await communitySums(db, name, scope.filter)), scope };
});

/** Looks for odd batches only where they do not count: it takes longer than all the rest. */
export const countedBatchesOf = keptWhileUnchanged(
  async (db, name): Promise<BatchModel & { readonly filter: PoolFilter }> => {
    const [settings, all] = await Promise.all([communitySettings(db, name), allBatches(db, name)]);
    if (settings.countsOddBatches) return { ...all, filter: {} };
    const model = await communityModelOf(db, name);
    return { ...model, filter: model.scope.filter };
  },
);

/** A small row for each member who asks. */
const MOST_MEMBERS = 2000;

/** What one member's batches add up to among those; undefined when none of theirs count. */
export const ownSumsOf = keptWhileUnchanged(async (db, name, member: string) => {
  const { community, filter } = await countedBatchesOf(db, name);
  return memberSumsOf(db, name, member, community, filter);
}, MOST_MEMBERS);
