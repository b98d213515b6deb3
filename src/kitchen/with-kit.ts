import type { Call } from '../chat/call.js';
import { quoteIfNeeded } from '../chat/option.js';
import { type Refusal, refusal } from '../chat/reply.js';
import type { MeasuredRender } from '../cooking/heat/boil-off.js';
import { standsOnBurner } from '../cooking/heat/own-heat.js';
import { SMALLEST_VESSEL_ML } from '../cooking/water/vessel.js';
import { type WaterRequest, waterFor } from '../cooking/water/water.js';
import type { Records } from '../records/database.js';
import { keptWhileUnchanged } from '../records/kept.js';
import {
  isSameName,
  type Kit,
  kitOf,
  measuredRenders,
  VESSEL_KINDS,
  type Vessel,
  type VesselKind,
} from '../records/kit.js';
import { capacityWords } from '../words/amounts.js';
import type { Method } from '../words/methods.js';
import { type Asked, originOf } from './asked.js';
import { ASSUMED, type RenderOptions, vesselVolume } from './options.js';
import { cannotTakeHeat } from './vessel-names.js';

/** The vessel that a render is cooked in. */
export interface VesselInUse {
  readonly vesselMl: number;
  /** As the kit calls it; undefined where only a size was said. */
  readonly name?: string;
  /** Whether the cook said it, by its name or its size, or it was found in their kit. */
  readonly isSaid: boolean;
}

/** What was said of a render and what the cook's kit adds; its vessel is looked up. */
export interface RenderValues extends Omit<RenderOptions, 'vessel'> {
  readonly vessel: VesselInUse | undefined;
}

/**
 * What each method can be cooked in, the usual first. A heavy pot goes into an oven or a smoker and a pan on a stove;
 * what works only in an appliance of its own, or only as such, goes with nothing else.
 */
const KINDS_FOR: Readonly<Record<Method, readonly [VesselKind, ...VesselKind[]]>> = {
  'open-pot': ['pot'],
  pressure: ['pressure-cooker'],
  'slow-cooker': ['slow-cooker'],
  'stovetop-dry': ['pot', 'pan'],
  oven: ['pan', 'pot'],
  smoker: ['pan', 'pot'],
};

/** What kind of vessel a method is usually cooked in. */
export const usualKindFor = (method: Method): VesselKind => KINDS_FOR[method][0];

/** The method that a vessel is for, where nothing else is said. A pot alone says none. */
const METHOD_IN: Readonly<Partial<Record<VesselKind, Method>>> = {
  'pressure-cooker': 'pressure',
  'slow-cooker': 'slow-cooker',
  pan: 'oven',
};

/**
 * What was said of a render of so much fat, with what the cook's kit adds to it. Refused when a vessel is named in which
 * the method cannot be done, or that is neither in the kit nor a size.
 */
export async function withKit(
  db: Records,
  call: Call,
  said: RenderOptions,
  fatG: number,
): Promise<Asked<RenderValues> | Refusal> {
  const { vessels, kitchen: ownKitchen } = await kitOf(db, call);
  const kit = { vessels: vessels.filter(({ name }) => !cannotTakeHeat(name)), kitchen: ownKitchen };
  const { vessel: wanted, ...rest } = said;
  const named = kit.vessels.find(({ name }) => wanted !== undefined && isSameName(name, wanted.trim()));
  if (named !== undefined && said.method !== undefined && !KINDS_FOR[said.method].includes(named.kind))
    return refuseVesselFor(said.method, named, kit.vessels);
  const method = said.method ?? (named && METHOD_IN[named.kind]);
  const batch = { method: method ?? ASSUMED.method, cut: said.cut ?? ASSUMED.cut, fatG };
  const kitchen = { ...kitchenFor(kit, said, batch.method), method };
  const unsaid = { ...rest, vessel: undefined };
  if (named !== undefined) return filledIn(unsaid, { ...kitchen, ...inUse(named, true) });
  if (wanted === undefined) {
    const chosen = suitable(kit.vessels, batch);
    return filledIn(unsaid, { ...kitchen, ...(chosen && inUse(chosen, false)) });
  }
  const size = vesselVolume.parse(wanted);
  return size.ok
    ? filledIn({ ...rest, vessel: { vesselMl: size.value, isSaid: true } }, kitchen)
    : refuseVessel(size.problem, kit.vessels);
}

/** What a kitchen says besides its vessels; of its burner only where one is used and no other was said. */
function kitchenFor({ kitchen }: Kit, said: RenderOptions, method: Method): Partial<RenderValues> {
  const usesBurner = standsOnBurner(method) && said.burner === undefined && kitchen.burnerW !== undefined;
  return {
    altitude: kitchen.altitudeM,
    burner: usesBurner ? kitchen.burnerW : undefined,
    'burner-kind': usesBurner ? kitchen.burnerKind : undefined,
    'fat-temperature': kitchen.fatStartC,
    'water-temperature': kitchen.waterStartC,
    price: kitchen.pricePerKWh,
  };
}

function filledIn(said: RenderValues, kit: Partial<RenderValues>): Asked<RenderValues> {
  const values = new Map<string, unknown>(Object.entries(said));
  const added = Object.entries(kit).filter(
    ([name, value]) => value !== undefined && values.get(name) === undefined,
  );
  return { values: { ...said, ...Object.fromEntries(added) }, kit: added.map(([name]) => name) };
}

const inUse = ({ name, capacityMl, diameterCm }: Vessel, isSaid: boolean): Partial<RenderValues> => ({
  vessel: { vesselMl: capacityMl, name, isSaid },
  diameter: diameterCm === undefined ? undefined : diameterCm / 100,
});

/** In a vessel so many times too large the water is a film that is gone in minutes. A choice of ours. */
const FAR_TOO_LARGE = 4;

/** The smallest of the right kind that takes it in one load, else the largest; none where even that is far too large. */
function suitable(vessels: readonly Vessel[], batch: WaterRequest): Vessel | undefined {
  const { vesselMl } = waterFor(batch);
  const ofKind = vessels
    .filter(({ kind }) => kind === usualKindFor(batch.method))
    .sort((a, b) => a.capacityMl - b.capacityMl);
  const chosen = ofKind.find(({ capacityMl }) => capacityMl >= vesselMl) ?? ofKind.at(-1);
  return chosen !== undefined && chosen.capacityMl <= FAR_TOO_LARGE * Math.max(vesselMl, SMALLEST_VESSEL_ML)
    ? chosen
    : undefined;
}

function refuseVessel(problem: string, vessels: readonly Vessel[]): Refusal {
  const known =
    vessels.length === 0
      ? 'Your kit holds no vessels yet; /kit add puts one in.'
      : `Your kit holds ${vessels.map(({ name }) => name).join(', ')}.`;
  return refusal('That could not be read', `Vessel: ${problem} ${known}`);
}

function refuseVesselFor(method: Method, vessel: Vessel, vessels: readonly Vessel[]): Refusal {
  const kinds = KINDS_FOR[method];
  const fitting = vessels.filter(({ kind }) => kinds.includes(kind));
  const instead =
    fitting.length === 0
      ? `Your kit holds none: add yours with /kit add vessel:"my ${kindWords(kinds[0])}" kind:${kinds[0]} capacity:"6 qt", or give its size, vessel:"6 qt".`
      : `Your kit holds ${fitting.map(({ name, capacityMl }) => `${name}, ${capacityWords(capacityMl)}`).join('; ')}: say vessel:${quoteIfNeeded(fitting[0]?.name ?? '')}.`;
  const own = METHOD_IN[vessel.kind] ?? 'open-pot';
  return refusal(
    'Not in that vessel',
    `method:${method} needs a ${kinds.map(kindWords).join(', or a ')}, and your ${vessel.name} is a ${kindWords(vessel.kind)}. ${instead} Or cook in ${vessel.name} with method:${own}.`,
  );
}

function kindWords(kind: VesselKind): string {
  return (VESSEL_KINDS.find(({ value }) => value === kind)?.label ?? kind).toLowerCase();
}

/** The vessels of a member's kit whose names hold what was typed, as choices. */
export async function suggestVessels(db: Records, typed: string, call: Call) {
  const { vessels } = await kitOf(db, call);
  return vessels
    .filter(({ name }) => name.toLowerCase().includes(typed.trim().toLowerCase()))
    .slice(0, 25)
    .map(({ name, capacityMl }) => ({ value: name, label: `${name}, ${capacityWords(capacityMl)}` }));
}

/** At most so many earlier renders count; older ones were cooked differently. */
const MOST_MEASURED = 5;
/** A few numbers for each member who asks, and each method. */
const MOST_KEPT = 2000;

const measuredRendersOf = keptWhileUnchanged(
  (db, community, member: string, method: string) =>
    measuredRenders(db, { community, member: { id: member } }, method, MOST_MEASURED),
  MOST_KEPT,
);

/** The cook's own renders whose water was measured. Another vessel, lid or burner than usual is none of them. */
export async function measuredLike(
  db: Records,
  call: Call,
  asked: Asked<RenderValues>,
): Promise<readonly MeasuredRender[]> {
  const { method = ASSUMED.method, vessel } = asked.values;
  const isAsUsual =
    !vessel?.isSaid && originOf(asked, 'lid') !== 'said' && originOf(asked, 'burner') !== 'said';
  return isAsUsual ? measuredRendersOf(db, call.community, call.member.id, method) : [];
}
