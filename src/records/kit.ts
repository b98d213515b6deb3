import type { NotNull } from 'kysely';
import { jsonArrayFrom } from 'kysely/helpers/postgres';
import type { MeasuredRender } from '../cooking/heat/boil-off.js';
import type { BurnerKind } from '../cooking/heat/burner.js';
import { type Records, wholly } from './database.js';
import { rememberMember } from './members.js';
import type { VesselsTable } from './schema.js';

/** More vessels than this is a shop. */
export const MOST_VESSELS = 30;

export type VesselKind = VesselsTable['kind'];

export const VESSEL_KINDS: readonly { readonly value: VesselKind; readonly label: string }[] = [
  { value: 'pot', label: 'Pot' },
  { value: 'pressure-cooker', label: 'Pressure cooker' },
  { value: 'slow-cooker', label: 'Slow cooker' },
  { value: 'pan', label: 'Roasting pan or tray' },
];

export interface Vessel {
  readonly name: string;
  readonly kind: VesselKind;
  readonly capacityMl: number;
  readonly diameterCm: number | undefined;
}

/** What a member's kitchen is like, as far as they have said. */
export interface Kitchen {
  readonly burnerW: number | undefined;
  readonly burnerKind: BurnerKind | undefined;
  readonly altitudeM: number | undefined;
  /** How cold the fat and how warm the water is when it goes into the pot. */
  readonly fatStartC: number | undefined;
  readonly waterStartC: number | undefined;
  /** In the member's money. */
  readonly pricePerKWh: number | undefined;
}

export interface Kit {
  /** By name. */
  readonly vessels: readonly Vessel[];
  readonly kitchen: Kitchen;
}

/** Whose kit: one member of one community. */
export interface Owner {
  readonly community: string;
  readonly member: { readonly id: string };
}

/** The same, by the name that they go by now. */
export interface NamedOwner extends Owner {
  readonly member: { readonly id: string; readonly name: string };
}

const keyOf = ({ community, member }: Owner) => ({ community_id: community, member_id: member.id });

/** A member's kit; one who has said nothing has an empty one. */
export async function kitOf(db: Records, owner: Owner): Promise<Kit> {
  // One query, as every answer about water asks.
  const row = await db
    .selectFrom('members')
    .leftJoin('kitchens', (on) =>
      on
        .onRef('kitchens.community_id', '=', 'members.community_id')
        .onRef('kitchens.member_id', '=', 'members.member_id'),
    )
    .select(['burner_w', 'burner_kind', 'altitude_m', 'fat_start_c', 'water_start_c', 'price_per_kwh'])
    .select((e) =>
      jsonArrayFrom(
        e
          .selectFrom('vessels')
          .select(['name', 'kind', 'capacity_ml', 'diameter_cm'])
          .whereRef('vessels.community_id', '=', 'members.community_id')
          .whereRef('vessels.member_id', '=', 'members.member_id')
          .orderBy('name'),
      ).as('vessels'),
    )
    .where('members.community_id', '=', owner.community)
    .where('members.member_id', '=', owner.member.id)
    .executeTakeFirst();
  const vessels = row?.vessels ?? [];
  return {
    vessels: vessels.map(({ name, kind, capacity_ml, diameter_cm }) => ({
      name,
      kind,
      capacityMl: capacity_ml,
      diameterCm: diameter_cm ?? undefined,
    })),
    kitchen: {
      burnerW: row?.burner_w ?? undefined,
      burnerKind: row?.burner_kind ?? undefined,
      altitudeM: row?.altitude_m ?? undefined,
      fatStartC: row?.fat_start_c ?? undefined,
      waterStartC: row?.water_start_c ?? undefined,
      pricePerKWh: row?.price_per_kwh ?? undefined,
    },
  };
}

/** Adds a vessel, or replaces the one of that name, whatever its case. `full` when there are MOST_VESSELS others. */
export async function saveVessel(
  db: Records,
  owner: NamedOwner,
  vessel: Vessel,
  now: Date,
): Promise<'added' | 'replaced' | 'full'> {
  const { name, kind, capacityMl, diameterCm } = vessel;
  const columns = { name, kind, capacity_ml: capacityMl, diameter_cm: diameterCm ?? null };
  return wholly(db, async (tx) => {
    // Updating the member's row first makes two of their requests wait for each other, so that the limit holds.
    await rememberMember(tx, owner.community, owner.member, now);
    const { vessels } = await kitOf(tx, owner);
    const former = vessels.find((one) => isSameName(one.name, name));
    if (former === undefined && vessels.length >= MOST_VESSELS) return 'full';
    if (former === undefined) {
      await tx
        .insertInto('vessels')
        .values({ ...keyOf(owner), ...columns, added_at: now })
        .execute();
      return 'added';
    }
    await tx
      .updateTable('vessels')
      .set(columns)
      .where((e) => e.and({ ...keyOf(owner), name: former.name }))
      .execute();
    return 'replaced';
  });
}

/** Takes a vessel out, whatever the case of its name; the one taken out, or undefined when there was none. */
export async function removeVessel(db: Records, owner: Owner, name: string): Promise<Vessel | undefined> {
  const { vessels } = await kitOf(db, owner);
  const found = vessels.find((vessel) => isSameName(vessel.name, name));
  if (found === undefined) return undefined;
  await db
    .deleteFrom('vessels')
    .where((e) => e.and({ ...keyOf(owner), name: found.name }))
    .execute();
  return found;
}

/** Changes what is named of a kitchen; a value of null is forgotten, what is left out stays. */
export async function changeKitchen(
  db: Records,
  owner: NamedOwner,
  changes: { readonly [K in keyof Kitchen]?: Kitchen[K] | null },
  now: Date,
): Promise<void> {
  const columns = Object.fromEntries(
    Object.entries({
      burner_w: changes.burnerW,
      burner_kind: changes.burnerKind,
      altitude_m: changes.altitudeM,
      fat_start_c: changes.fatStartC,
      water_start_c: changes.waterStartC,
      price_per_kwh: changes.pricePerKWh,
    }).filter(([, value]) => value !== undefined),
  );
  if (Object.keys(columns).length === 0) return;
  await wholly(db, async (tx) => {
    await rememberMember(tx, owner.community, owner.member, now);
    await tx
      .insertInto('kitchens')
      .values({ ...keyOf(owner), ...columns })
      .onConflict((c) => c.columns(['community_id', 'member_id']).doUpdateSet(columns))
      .execute();
  });
}

/** The member's newest renders by one method whose water was measured at the end, at most `most`. */
export function measuredRenders(
  db: Records,
  owner: Owner,
  method: string,
  most: number,
): Promise<readonly MeasuredRender[]> {
  return db
    .selectFrom('batches')
    .select(['water_ml as waterMl', 'water_left_ml as waterLeftMl', 'minutes'])
    .where((e) => e.and({ ...keyOf(owner), method, state: 'done' }))
    .where('removed_at', 'is', null)
    .where('water_left_ml', 'is not', null)
    .where('water_ml', 'is not', null)
    .where('minutes', 'is not', null)
    .orderBy('finished_at', 'desc')
    .limit(most)
    .$narrowType<{ waterMl: NotNull; waterLeftMl: NotNull; minutes: NotNull }>()
    .execute();
}

/** Names are told apart without regard to case, as the index on them does. */
export function isSameName(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}
