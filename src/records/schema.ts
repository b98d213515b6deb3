import type { ColumnType, JSONColumnType } from 'kysely';
import type { BurnerKind } from '../cooking/heat/burner.js';

type Instant = ColumnType<Date, Date, Date>;
type MaybeInstant = ColumnType<Date | null, Date | null | undefined, Date | null>;
type Defaulted<T> = ColumnType<T, T | undefined, T>;

/** A community's own settings. The weekly columns are all set or all empty. */
export interface CommunitiesTable {
  community_id: string;
  last_batch: Defaulted<number>;
  weekly_channel: string | null;
  /** ISO 8601: Monday is 1. */
  weekly_day: number | null;
  weekly_hour: number | null;
  weekly_zone: string | null;
  /** The next appointment that no delivery row exists for yet. */
  weekly_next: MaybeInstant;
  /** Whether a week without a batch goes by without a post. */
  weekly_skips_quiet: Defaulted<boolean>;
  /** The bot that sends the post; empty where it was set before bots were told apart. */
  weekly_application: string | null;
  /** Units of the post; both where it is empty. */
  weekly_units: 'us' | 'metric' | null;
  /** Whether batches that look like mistakes count in the figures. */
  counts_odd_batches: Defaulted<boolean>;
  /** Grows whenever the community's figures may have changed. */
  revision: Defaulted<number>;
  created_at: Instant;
  /** When managers were last sought without anybody being reached; empty once somebody was. */
  managers_unreached_at: MaybeInstant;
  /** When managers were told of a closed channel; empty once something has gone out since. */
  closed_told_at: MaybeInstant;
}

export interface MembersTable {
  community_id: string;
  member_id: string;
  name: string;
  /** Whether this member's batches count in the community's figures. */
  pooled: Defaulted<boolean>;
  created_at: Instant;
}

export type BatchState = 'rendering' | 'chilling' | 'done' | 'abandoned';

export interface BatchesTable {
  community_id: string;
  number: number;
  member_id: string;
  method: string;
  cut: string;
  fat_g: number;
  tallow_g: number | null;
  water_ml: number | null;
  water_left_ml: number | null;
  minutes: number | null;
  weighed_as: string | null;
  taste: Defaulted<string[]>;
  note: string | null;
  state: BatchState;
  started_at: MaybeInstant;
  finished_at: MaybeInstant;
  logged_at: Instant;
  logged_by_interaction: string;
  removed_at: MaybeInstant;
}

export interface BatchChangesTable {
  community_id: string;
  number: number;
  change: number;
  changed_by: string;
  changed_at: Instant;
  interaction: string;
  before: JSONColumnType<Record<string, unknown>>;
  after: JSONColumnType<Record<string, unknown>>;
}

export interface DraftsTable {
  community_id: string;
  draft_id: string;
  member_id: string;
  body: ColumnType<unknown, string, string>;
  created_at: Instant;
}

/** What a member's kitchen is like; what they have not said is empty. */
export interface KitchensTable {
  community_id: string;
  member_id: string;
  burner_w: number | null;
  burner_kind: BurnerKind | null;
  altitude_m: number | null;
  fat_start_c: number | null;
  water_start_c: number | null;
  price_per_kwh: number | null;
}

/** One name, whatever its case, once for each member. */
export interface VesselsTable {
  community_id: string;
  member_id: string;
  name: string;
  kind: 'pot' | 'pressure-cooker' | 'slow-cooker' | 'pan';
  capacity_ml: number;
  diameter_cm: number | null;
  added_at: Instant;
}

export interface DeliveriesTable {
  community_id: string;
  kind: 'weekly' | 'reminder';
  /** What the message is about, unique with the kind: a week, or a batch and its step. */
  about: string;
  /** The bot that sends it; empty where it was planned before bots were told apart. */
  application: string | null;
  channel: string;
  due_at: Instant;
  state: Defaulted<'due' | 'sent' | 'closed' | 'folded'>;
  nonce: string;
  attempts: Defaulted<number>;
  claimed_by: string | null;
  claimed_until: MaybeInstant;
  first_claimed_at: MaybeInstant;
  sent_at: MaybeInstant;
  message: string | null;
  caution: string | null;
  last_error: string | null;
  /** When somebody asked for it, where it did not come by itself. */
  asked_at: MaybeInstant;
  /** When the managers were told that the channel is closed. */
  managers_told_at: MaybeInstant;
}

/** Something that nearly went wrong. The text is for the managers alone. */
export interface NearMissesTable {
  community_id: string;
  /** The request that reported it: one that comes twice is stored once. */
  interaction: string;
  member_id: string;
  topic: string | null;
  report: string;
  /** The bot that was told and tells the managers; empty in reports from before bots were told apart. */
  application: string | null;
  reported_at: Instant;
  managers_told_at: MaybeInstant;
}

/** A member's word to cook a batch that the weekly post asked for. */
export interface TakenOnTable {
  community_id: string;
  member_id: string;
  method: string;
  cut: string;
  fat_g: number;
  taken_at: Instant;
}

export type TastingKind = 'triangle' | 'pair' | 'ranking';

/** A blind tasting; closed once `closed_at` and `counts` are set. */
export interface TastingsTable {
  community_id: string;
  number: number;
  kind: TastingKind;
  products: ColumnType<unknown, string, never>;
  /** What the tasters look for; empty for a triangle. */
  quality: string | null;
  /** Of a pair: which of the two is expected to have more, when only that is asked. */
  expected: number | null;
  planned: number;
  matters_share: number | null;
  matters_d_prime: number | null;
  /** Empty once that member's data are erased, as is `served_by`. */
  opened_by: string | null;
  opened_at: Instant;
  opened_by_interaction: string;
  served_by: string | null;
  closed_at: MaybeInstant;
  counts: ColumnType<unknown, string | null | undefined, string>;
}

/** The cups of one seat in the order in which they are tasted. */
export interface TastingServingsTable {
  community_id: string;
  number: number;
  seat: number;
  cups: ColumnType<unknown, string, never>;
}

/** Who sits there, and which codes they named; empty until they answer. */
export interface TastingAnswersTable {
  community_id: string;
  number: number;
  seat: number;
  member_id: string;
  picked: string[] | null;
  answered_at: MaybeInstant;
}

export interface Schema {
  communities: CommunitiesTable;
  members: MembersTable;
  batches: BatchesTable;
  batch_changes: BatchChangesTable;
  drafts: DraftsTable;
  kitchens: KitchensTable;
  vessels: VesselsTable;
  deliveries: DeliveriesTable;
  near_misses: NearMissesTable;
  taken_on: TakenOnTable;
  tastings: TastingsTable;
  tasting_servings: TastingServingsTable;
  tasting_answers: TastingAnswersTable;
}
