import type { MeasuredRender } from '../cooking/heat/boil-off.js';
import type { BurnerKind } from '../cooking/heat/burner.js';
import { type Records, wholly } from './database.js';
import { rememberMember } from './members.js';

/** More vessels than this is a shop. */
export const MOST_VESSELS = 30;

export type VesselKind = 'pot' | 'pressure-cooker' | 'slow-cooker' | 'pan';

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

/** A member's kit; one who has said nothing has an empty one. */
export async function kitOf(db: Records, { community, member }: Owner): Promise<Kit> {
  // The kitchen stands beside each vessel, and alone where there is none: one query, as every answer about water asks.
  const rows = await db
    .selectFrom('members')
    .leftJoin('kitchens', (on) =>
      on
        .onRef('kitchens.community_id', '=', 'members.community_id')
        .onRef('kitchens.member_id', '=', 'members.member_id'),
    )
    .leftJoin('vessels', (on) =>
      on
        .onRef('vessels.community_id', '=', 'members.community_id')
        .onRef('vessels.member_id', '=', 'members.member_id'),
    )
    .select([
      'vessels.name',
      'vessels.kind',
      'vessels.capacity_ml',
      'vessels.diameter_cm',
      'kitchens.burner_w',
      'kitchens.burner_kind',
      'kitchens.altitude_m',
      'kitchens.fat_start_c',
      'kitchens.water_start_c',
      'kitchens.price_per_kwh',
    ])
    .where('members.community_id', '=', community)
    .where('members.member_id', '=', member.id)
    .orderBy('vessels.name')
    .execute();
  const [kitchen] = rows;
  return {
    vessels: rows.flatMap(({ name, kind, capacity_ml, diameter_cm }) =>
      name === null || kind === null || capacity_ml === null
        ? []
        : [
            {
              name,
              kind: vesselKindOf(kind),
              capacityMl: capacity_ml,
              diameterCm: diameter_cm ?? undefined,
            },
          ],
    ),
    kitchen: {
      burnerW: kitchen?.burner_w ?? undefined,
      burnerKind: burnerKindOf(kitchen?.burner_kind ?? undefined),
      altitudeM: kitchen?.altitude_m ?? undefined,
      fatStartC: kitchen?.fat_start_c ?? undefined,
      waterStartC: kitchen?.water_start_c ?? undefined,
      pricePerKWh: kitchen?.price_per_kwh ?? undefined,
    },
  };
}

/** Adds a vessel, or replaces the one of that name, whatever its case. `full` when there are MOST_VESSELS others. */
export async function saveVessel(
  db: Records,
  { community, member }: NamedOwner,
  vessel: Vessel,
  now: Date,
): Promise<'added' | 'replaced' | 'full'> {
  return wholly(db, async (tx) => {
    // Updating the member's row first makes two of their requests wait for each other, so that the limit holds.
    await rememberMember(tx, community, member, now);
    const names = await tx
      .selectFrom('vessels')
      .select('name')
      .where('community_id', '=', community)
      .where('member_id', '=', member.id)
      .execute();
    const former = names.find(({ name }) => isSameName(name, vessel.name));
    if (former === undefined && names.length >= MOST_VESSELS) return 'full';
    const columns = {
      name: vessel.name,
      kind: vessel.kind,
      capacity_ml: vessel.capacityMl,
      diameter_cm: vessel.diameterCm ?? null,
    };
    if (former === undefined) {
      await tx
        .insertInto('vessels')
        .values({ community_id: community, member_id: member.id, added_at: now, ...columns })
        .execute();
      return 'added';
    }
    await tx
      .updateTable('vessels')
      .set(columns)
      .where('community_id', '=', community)
      .where('member_id', '=', member.id)
      .where('name', '=', former.name)
      .execute();
    return 'replaced';
  });
}

/** Takes a vessel out, whatever the case of its name; the one taken out, or undefined when there was none. */
export async function removeVessel(
  db: Records,
  { community, member }: Owner,
  name: string,
): Promise<Vessel | undefined> {
  const { vessels } = await kitOf(db, { community, member });
  const found = vessels.find((vessel) => isSameName(vessel.name, name));
  if (found === undefined) return undefined;
  await db
    .deleteFrom('vessels')
    .where('community_id', '=', community)
    .where('member_id', '=', member.id)
    .where('name', '=', found.name)
    .execute();
  return found;
}

/** Changes what is named of a kitchen; a value of null is forgotten, what is left out stays. */
export async function changeKitchen(
  db: Records,
  { community, member }: NamedOwner,
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
    await rememberMember(tx, community, member, now);
    await tx
      .insertInto('kitchens')
      .values({ community_id: community, member_id: member.id, ...columns })
      .onConflict((c) => c.columns(['community_id', 'member_id']).doUpdateSet(columns))
      .execute();
  });
}

/** The member's newest renders by one method whose water was measured at the end, at most `most`. */
export async function measuredRenders(
  db: Records,
  { community, member }: Owner,
  method: string,
  most: number,
): Promise<readonly MeasuredRender[]> {
  const rows = await db
    .selectFrom('batches')
    .select(['water_ml', 'water_left_ml', 'minutes'])
    .where('community_id', '=', community)
    .where('member_id', '=', member.id)
    .where('method', '=', method)
    .where('state', '=', 'done')
    .where('removed_at', 'is', null)
    .where('water_left_ml', 'is not', null)
    .where('water_ml', 'is not', null)
    .where('minutes', 'is not', null)
    .orderBy('finished_at', 'desc')
    .limit(most)
    .execute();
  return rows.flatMap(({ water_ml: waterMl, water_left_ml: waterLeftMl, minutes }) =>
    waterMl === null || waterLeftMl === null || minutes === null ? [] : [{ waterMl, waterLeftMl, minutes }],
  );
}

/** Names are told apart without regard to case, as the index on them does. */
export function isSameName(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}

function vesselKindOf(text: string): VesselKind {
  const found = VESSEL_KINDS.find(({ value }) => value === text);
  if (found === undefined) throw new Error(`a vessel of the kind ${text} is stored`);
  return found.value;
}

function burnerKindOf(text: string | undefined): BurnerKind | undefined {
  switch (text) {
    case 'gas':
    case 'electric':
    case 'induction':
    case 'outdoor gas':
      return text;
    case undefined:
      return undefined;
    default:
      throw new Error(`a burner of the kind ${text} is stored`);
  }
}
