import type { Call } from '../chat/call.js';
import type { Given, Parsed } from '../chat/option.js';
import { type Refusal, refusal } from '../chat/reply.js';
import type { MeasuredRender } from '../cooking/heat/boil-off.js';
import type { Origin } from '../cooking/working.js';
import type { ExpectedShare } from '../findings/expected-share.js';
import type { Records } from '../records/database.js';
import { keptWhileUnchanged } from '../records/kept.js';
import {
  isSameName,
  type Kit,
  kitOf,
  measuredRenders,
  type Vessel,
  type VesselKind,
} from '../records/kit.js';
import { capacityWords } from '../words/amount-words.js';
import type { Method } from '../words/methods.js';
import * as option from './options.js';

/** What was asked, with what it rests on besides: enough to answer it again, and to tell where each figure came from. */
export interface Asked {
  /** As it was typed; a vessel that was named as “vessel-name”. */
  readonly said: Given;
  /** What the cook's kit adds, as it could have been typed. */
  readonly kit: Given;
  /** The cook's own renders whose water was measured, where they bear on it. */
  readonly measured: readonly MeasuredRender[];
  /** What the community's batches say of the yield to expect, where they say more than common practice. */
  readonly share: ExpectedShare | undefined;
  /** When it was asked, in epoch milliseconds, where that matters. */
  readonly atMs: number | undefined;
}

/** Something asked that needs nothing but what was typed. */
export const askedPlainly = (said: Given): Asked => ({
  said,
  kit: {},
  measured: [],
  share: undefined,
  atMs: undefined,
});

/** All of it as options; what was said stands above the kit. */
export function optionsIn({ said, kit }: Asked): Given {
  const { 'vessel-name': _name, ...options } = { ...kit, ...said };
  return options;
}

export function originOf({ said, kit }: Asked, name: string): Origin {
  if (isFilled(said[name])) return 'you said';
  return isFilled(kit[name]) ? 'your kit' : 'assumed';
}

const vesselSize = option.vesselVolume(false, 'Size of the pot or cooker');

/** The size of a vessel in millilitres. */
export const readVesselSize = (text: string): Parsed<number> => vesselSize.parse(text);

/** What kind of vessel a method is cooked in. */
export const KIND_FOR: Readonly<Record<Method, VesselKind>> = {
  'open-pot': 'pot',
  pressure: 'pressure-cooker',
  'slow-cooker': 'slow-cooker',
  'stovetop-dry': 'pot',
  oven: 'pan',
  smoker: 'pan',
};

/** Methods that stand on a burner; the others bring their own heat. */
export function standsOnBurner(method: Method): boolean {
  return method === 'open-pot' || method === 'pressure' || method === 'stovetop-dry';
}

/**
 * What the kit adds to what was typed, for a batch that needs a vessel of `neededMl`. Without a vessel named it is the
 * smallest of the right kind that takes it in one load, else the largest. Refused when a vessel is named that is
 * neither in the kit nor a size.
 */
export function withKit(
  typed: Given,
  kit: Kit,
  batch: { readonly method: Method; readonly neededMl: number },
): Pick<Asked, 'said' | 'kit'> | Refusal {
  const { vessel: wanted, ...rest } = typed;
  const { altitudeM, burnerW, burnerKind, fatStartC, waterStartC, pricePerKWh } = kit.kitchen;
  const usesBurner = standsOnBurner(batch.method) && !isFilled(typed.burner) && burnerW !== undefined;
  const kitchen = filled({
    altitude: inUnit(altitudeM, 'm'),
    burner: usesBurner ? inUnit(burnerW, 'W') : undefined,
    'burner-kind': usesBurner ? burnerKind : undefined,
    'fat-temperature': inUnit(fatStartC, '°C'),
    'water-temperature': inUnit(waterStartC, '°C'),
    price: pricePerKWh === undefined ? undefined : String(pricePerKWh),
  });
  if (!isFilled(wanted)) {
    const chosen = suitable(kit.vessels, batch);
    return { said: typed, kit: { ...kitchen, ...(chosen ? vesselAsTyped(chosen) : {}) } };
  }
  const named = kit.vessels.find(({ name }) => isSameName(name, wanted.trim()));
  if (named)
    return { said: { ...rest, 'vessel-name': named.name }, kit: { ...kitchen, ...vesselAsTyped(named) } };
  const size = readVesselSize(wanted);
  return size.ok ? { said: typed, kit: kitchen } : refuseVessel(size.problem, kit.vessels);
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

/** What was typed about a render, with what the cook's kit and their earlier renders add to it. */
export async function askedWithKit(
  db: Records,
  call: Call,
  given: Given,
  batch: { readonly method: Method; readonly neededMl: number },
): Promise<Asked | Refusal> {
  // Another vessel, lid or burner than usual says nothing about the earlier renders.
  const asUsual = [given.vessel, given.lid, given.burner].every((text) => text === undefined);
  const [kit, measured] = await Promise.all([
    kitOf(db, call),
    asUsual ? measuredRendersOf(db, call.community, call.member.id, batch.method) : [],
  ]);
  const added = withKit(given, kit, batch);
  return 'text' in added ? added : { ...added, measured, share: undefined, atMs: undefined };
}

function suitable(
  vessels: readonly Vessel[],
  { method, neededMl }: { readonly method: Method; readonly neededMl: number },
): Vessel | undefined {
  const ofKind = vessels
    .filter(({ kind }) => kind === KIND_FOR[method])
    .sort((a, b) => a.capacityMl - b.capacityMl);
  return ofKind.find(({ capacityMl }) => capacityMl >= neededMl) ?? ofKind.at(-1);
}

function vesselAsTyped({ name, capacityMl, diameterCm }: Vessel): Given {
  return filled({
    vessel: inUnit(capacityMl, 'ml'),
    'vessel-name': name,
    diameter: inUnit(diameterCm, 'cm'),
  });
}

function refuseVessel(problem: string, vessels: readonly Vessel[]): Refusal {
  const known =
    vessels.length === 0
      ? 'Your kit holds no vessels yet; /kit add puts one in.'
      : `Your kit holds ${vessels.map(({ name }) => name).join(', ')}.`;
  return refusal('That could not be read', `Vessel: ${problem} ${known}`);
}

/** The vessels of a kit whose names hold what was typed, as choices. */
export function suggestVessels(kit: Kit, typed: string) {
  return kit.vessels
    .filter(({ name }) => name.toLowerCase().includes(typed.trim().toLowerCase()))
    .slice(0, 25)
    .map(({ name, capacityMl }) => ({ value: name, label: `${name}, ${capacityWords(capacityMl)}` }));
}

function inUnit(value: number | undefined, unit: string): string | undefined {
  return value === undefined ? undefined : `${Number(value.toPrecision(12))} ${unit}`;
}

function filled(given: { readonly [name: string]: string | undefined }): Given {
  return Object.fromEntries(
    Object.entries(given).flatMap(([name, text]) => (text === undefined ? [] : [[name, text]])),
  );
}

const isFilled = (text: string | undefined): text is string => text !== undefined && text.trim() !== '';
