import type { Call } from '../chat/call.js';
import { type Given, quoteIfNeeded } from '../chat/option.js';
import { type Refusal, refusal } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { isSameName, kitOf, VESSEL_KINDS, type Vessel, type VesselKind } from '../records/kit.js';
import { capacityWords } from '../words/amount-words.js';
import type { Method } from '../words/methods.js';

/**
 * What each method can be cooked in, the usual first. A heavy pot goes into an oven or a smoker and a pan on a stove;
 * what works only in an appliance of its own, or only as such, goes with nothing else.
 */
const KINDS_FOR: Readonly<Record<Method, readonly VesselKind[]>> = {
  'open-pot': ['pot'],
  pressure: ['pressure-cooker'],
  'slow-cooker': ['slow-cooker'],
  'stovetop-dry': ['pot', 'pan'],
  oven: ['pan', 'pot'],
  smoker: ['pan', 'pot'],
};

/** The method that a vessel is for, where nothing else is said. A pot alone says none. */
const METHOD_IN: Readonly<Partial<Record<VesselKind, Method>>> = {
  'pressure-cooker': 'pressure',
  'slow-cooker': 'slow-cooker',
  pan: 'oven',
};

/** The method of a render; undefined when neither the cook nor their vessel says one. */
export interface VesselMethod {
  readonly kind: 'method';
  readonly method: Method | undefined;
  /** The method as it could have been typed, where it comes from a vessel of the kit. */
  readonly kit: Given;
}

/**
 * The method that was said, else the one that the named vessel of the cook's kit is for. Refused when a vessel is named
 * in which the method cannot be done. A size alone says nothing about the kind of vessel.
 */
export async function methodFor(
  db: Records,
  call: Call,
  said: { readonly method: Method | undefined; readonly vessel: string | undefined },
): Promise<VesselMethod | Refusal> {
  if (said.vessel === undefined) return { kind: 'method', method: said.method, kit: {} };
  const wanted = said.vessel.trim();
  const { vessels } = await kitOf(db, call);
  const vessel = vessels.find(({ name }) => isSameName(name, wanted));
  return vessel === undefined
    ? { kind: 'method', method: said.method, kit: {} }
    : methodIn(vessel, said.method, vessels);
}

function methodIn(
  vessel: Vessel,
  said: Method | undefined,
  vessels: readonly Vessel[],
): VesselMethod | Refusal {
  if (said === undefined) {
    const method = METHOD_IN[vessel.kind];
    return { kind: 'method', method, kit: method === undefined ? {} : { method } };
  }
  return KINDS_FOR[said].includes(vessel.kind)
    ? { kind: 'method', method: said, kit: {} }
    : refuseVesselFor(said, vessel, vessels);
}

function refuseVesselFor(method: Method, vessel: Vessel, vessels: readonly Vessel[]): Refusal {
  const [usual = vessel.kind] = KINDS_FOR[method];
  const fitting = vessels.filter(({ kind }) => KINDS_FOR[method].includes(kind));
  const instead =
    fitting.length === 0
      ? `Your kit holds none: add yours with /kit add vessel:"my ${kindWords(usual)}" kind:${usual} capacity:"6 qt", or give its size, vessel:"6 qt".`
      : `Your kit holds ${fitting.map(({ name, capacityMl }) => `${name}, ${capacityWords(capacityMl)}`).join('; ')}: say vessel:${quoteIfNeeded(fitting[0]?.name ?? '')}.`;
  const own = METHOD_IN[vessel.kind] ?? 'open-pot';
  return refusal(
    'Not in that vessel',
    `method:${method} needs a ${KINDS_FOR[method].map(kindWords).join(', or a ')}, and your ${vessel.name} is a ${kindWords(vessel.kind)}. ${instead} Or cook in ${vessel.name} with method:${own}.`,
  );
}

function kindWords(kind: VesselKind): string {
  return (VESSEL_KINDS.find(({ value }) => value === kind)?.label ?? kind).toLowerCase();
}
