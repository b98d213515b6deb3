import type { ShownCaution } from '../chat/reply.js';
import { capitalise, listWords } from '../words/lists.js';
import type { Cut, Method } from '../words/methods.js';
import { DEADLY } from './cautions/deadly.js';
import { FIRE_AND_BURNS } from './cautions/fire-and-burns.js';
import { FOOD } from './cautions/food.js';
import { briefCitation, type SourceId, weightiestFirst } from './sources.js';

/**
 * The cautions of the trade. They are written in the folder beside this file and nowhere else. They are good practice, not law, and stand
 * below the appliance's manual, the local authorities and licensed practice.
 */

export type Activity =
  | 'thaw'
  | 'grind'
  | 'render'
  | 'strain'
  | 'chill'
  | 'remelt'
  | 'wash'
  | 'clarify'
  | 'jar'
  | 'store'
  | 'clean-up'
  | 'butter-blend'
  | 'salted-blend'
  | 'smoke'
  | 'fry'
  | 'serve'
  | 'taste'
  | 'sell';

export type Season = 'spring' | 'summer' | 'autumn' | 'winter';

export const SAFETY_TOPICS = [
  { value: 'fire', label: 'Fire' },
  { value: 'burns', label: 'Burns' },
  { value: 'water-in-fat', label: 'Water in hot fat' },
  { value: 'pressure', label: 'Pressure cookers' },
  { value: 'smoke-co', label: 'Smokers and carbon monoxide' },
  { value: 'fumes', label: 'Fumes' },
  { value: 'grinder', label: 'Grinders' },
  { value: 'raw-meat', label: 'Raw fat and meat' },
  { value: 'cooling', label: 'Cooling' },
  { value: 'storage', label: 'Storage' },
  { value: 'canning', label: 'Canning' },
  { value: 'moist-blends', label: 'Blends that hold water' },
  { value: 'allergens', label: 'Allergens' },
  { value: 'clay', label: 'Clay' },
  { value: 'drains', label: 'Drains' },
  { value: 'selling', label: 'Selling' },
] as const;

export type SafetyTopic = (typeof SAFETY_TOPICS)[number]['value'];

/** Whose word stands above a caution. */
const AUTHORITY_WORDS = {
  manual: 'the manual of your appliance',
  'fire service': 'your local fire service',
  'food authority': 'your local food-safety authority',
  doctor: 'a doctor or the emergency service',
  utility: 'your local waste and sewer utility',
} as const;

/** A caution applies where every part that is named fits; a part that is left out fits always. */
export interface Occasion {
  readonly methods?: readonly Method[];
  readonly cuts?: readonly Cut[];
  readonly activities?: readonly Activity[];
  readonly seasons?: readonly Season[];
}

export interface Caution {
  readonly id: string;
  readonly hazard: string;
  /** What to do, in at most 200 characters. */
  readonly short: string;
  /** Why, and what else. */
  readonly long: string;
  /** Where common practice and published caution differ. The caution sides with the latter. */
  readonly disagreement?: string;
  readonly topics: readonly SafetyTopic[];
  /** Any one of these is enough. */
  readonly occasions: readonly Occasion[];
  readonly authority: keyof typeof AUTHORITY_WORDS;
  readonly sources: readonly SourceId[];
}

/** Gravest first: where a reply has room for few, it shows those that stand first. */
export const CAUTIONS: readonly Caution[] = [...DEADLY, ...FIRE_AND_BURNS, ...FOOD];

/** What a person is about to do. Without an activity it is rendering. */
export interface Situation {
  readonly method?: Method;
  readonly cut?: Cut;
  readonly activity?: Activity;
  readonly season?: Season;
}

/** As many as a reply shows. */
const MOST_CAUTIONS = 3;

/** The gravest cautions that fit, gravest first, three at most. */
export function cautionsFor({ method, cut, activity = 'render', season }: Situation): readonly Caution[] {
  return CAUTIONS.filter(({ occasions }) =>
    occasions.some(
      ({ methods, cuts, activities, seasons }) =>
        fits(method, methods) && fits(cut, cuts) && fits(activity, activities) && fits(season, seasons),
    ),
  ).slice(0, MOST_CAUTIONS);
}

/** All cautions about one topic, gravest first. */
export function cautionsAbout(topic: SafetyTopic): readonly Caution[] {
  return CAUTIONS.filter(({ topics }) => topics.includes(topic));
}

/** The whole of cautions, a line each: what to do, why, where opinions differ; and once at the end whose word stands above them. */
export function cautionsInFull(cautions: readonly Caution[]): readonly string[] {
  return cautions.length === 0 ? [] : [...cautions.map(advice), authorityWords(cautions)];
}

const advice = ({ short, long, disagreement }: Caution): string =>
  [short, long, disagreement].filter((sentence) => sentence !== undefined).join(' ');

/** “The manual of your appliance and your local fire service stand above all of this.” */
function authorityWords(cautions: readonly Caution[]): string {
  const named = [...new Set(cautions.map(({ authority }) => AUTHORITY_WORDS[authority]))];
  const stand = named.length === 1 ? 'stands above this' : 'stand above all of this';
  return `${capitalise(listWords(named))} ${stand}.`;
}

/** Something unknown fits only where nothing in particular is asked for. */
function fits<V>(value: V | undefined, wanted: readonly V[] | undefined): boolean {
  return wanted === undefined || (value !== undefined && wanted.includes(value));
}

/** What a reply shows of the cautions that fit what is being done: three at most, the gravest first. */
export function shownCautions(situation: Situation): readonly ShownCaution[] {
  return cautionsFor(situation).map(shownCaution);
}

function shownCaution({ id, short, sources }: Caution): ShownCaution {
  const [weightiest] = weightiestFirst(sources);
  return { id, text: short, source: weightiest === undefined ? '' : briefCitation(weightiest) };
}
