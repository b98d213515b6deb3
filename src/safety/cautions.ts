import { capitalise, listWords } from '../words/lists.js';
import { DEADLY } from './cautions/deadly.js';
import { FIRE_AND_BURNS } from './cautions/fire-and-burns.js';
import { FOOD } from './cautions/food.js';
import { type Cook, forCook } from './local-figures.js';
import type { Occasion } from './occasion.js';
import type { SourceId } from './sources.js';
import type { SafetyTopic } from './topics.js';

/**
 * The cautions of the trade. They are written in the folder beside this file and nowhere else. They are good practice, not law, and stand
 * below the appliance's manual, the local authorities and licensed practice.
 */

/** Whose word stands above a caution. */
const AUTHORITY_WORDS = {
  manual: 'the manual of your appliance',
  'fire service': 'your local fire service',
  'food authority': 'your local food-safety authority',
  doctor: 'a doctor or the emergency service',
  vet: 'a vet',
  utility: 'your local waste and sewer utility',
} as const;

export interface Caution {
  readonly id: string;
  readonly hazard: string;
  /** What to do, in a sentence or two of at most 25 words; `{pour}` and `{boils}` are worked out for each cook. */
  readonly short: string;
  /** Why, and what else. */
  readonly long: string;
  /** Where common practice and published caution differ. The caution sides with the latter. */
  readonly disagreement?: string;
  readonly topics: readonly SafetyTopic[];
  /** Any one of these is enough. */
  readonly occasions: readonly Occasion[];
  readonly authority: keyof typeof AUTHORITY_WORDS;
  /** The source of what `short` says before those of the rest. */
  readonly sources: readonly SourceId[];
}

/** Gravest first. */
export const CAUTIONS: readonly Caution[] = [...DEADLY, ...FIRE_AND_BURNS, ...FOOD];

/** All cautions about one topic, gravest first. */
export function cautionsAbout(topic: SafetyTopic): readonly Caution[] {
  return CAUTIONS.filter(({ topics }) => topics.includes(topic));
}

/** The whole of cautions, a line each: what to do, why, where opinions differ; and once at the end whose word stands above them. */
export const cautionsInFull = (cautions: readonly Caution[], cook?: Cook): readonly string[] =>
  cautions.length === 0
    ? []
    : [...cautions.map((caution) => forCook(advice(caution), cook)), authorityWords(cautions)];

const advice = ({ short, long, disagreement }: Caution): string =>
  [short, long, disagreement].filter((sentence) => sentence !== undefined).join(' ');

/** “The manual of your appliance and your local fire service stand above all of this.” */
export function authorityWords(cautions: readonly Caution[]): string {
  const named = [...new Set(cautions.map(({ authority }) => AUTHORITY_WORDS[authority]))];
  const stand = named.length === 1 ? 'stands above this' : 'stand above all of this';
  return `${capitalise(listWords(named))} ${stand}.`;
}
