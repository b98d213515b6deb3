import type { Migration } from 'kysely';
import * as batches from './0001_batches.js';
import * as kit from './0002_kit.js';
import * as oddBatches from './0003_odd_batches.js';
import * as weeklyPost from './0004_weekly_post.js';
import * as revisions from './0005_revisions.js';
import * as managersUnreached from './0006_managers_unreached.js';
import * as applications from './0007_applications.js';
import * as kindOfFat from './0008_kind_of_fat.js';
import * as closedTold from './0009_closed_told.js';
import * as tastings from './0010_tastings.js';

/** Every migration in order. Written once, never edited after release; listed by hand so that none is skipped silently. */
export const migrations: Readonly<Record<string, Migration>> = {
  '0001_batches': batches,
  '0002_kit': kit,
  '0003_odd_batches': oddBatches,
  '0004_weekly_post': weeklyPost,
  '0005_revisions': revisions,
  '0006_managers_unreached': managersUnreached,
  '0007_applications': applications,
  '0008_kind_of_fat': kindOfFat,
  '0009_closed_told': closedTold,
  '0010_tastings': tastings,
};
