import type { Cut, Method } from '../words/methods.js';

/** What everybody who renders does in the course of a batch, in its order. */
export const BATCH_STEPS = [
  'thaw',
  'grind',
  'heat-up',
  'render',
  'release',
  'cool-down',
  'strain',
  'chill',
  'lift',
  'remelt',
  'jar',
  'store',
  'clean-up',
] as const;

/** What somebody is doing, or asks about: the steps of a batch, then what some do with it and with its tallow. */
export const ACTIVITIES = [
  ...BATCH_STEPS,
  'wash',
  'clarify',
  'smoke',
  'butter-blend',
  'salted-blend',
  'season',
  'fry',
  'fry-again',
  'serve',
  'taste',
  'leave-out',
  'smell',
  'feed-animals',
  'make-soap',
  'sell',
] as const;

export type Activity = (typeof ACTIVITIES)[number];

export const SEASONS = ['spring', 'summer', 'autumn', 'winter'] as const;

export type Season = (typeof SEASONS)[number];

export const BURNERS = ['gas', 'electric', 'induction', 'outdoor gas'] as const;

/** What is special about it. */
export const CIRCUMSTANCES = [
  /** The water will not last, so that more is added. */
  'top-ups',
  /** More than {@link LONG_MINUTES}. */
  'long',
  'overnight',
  /** More than {@link HEAVIEST_LIFT_G}. */
  'large',
  /** So high up that 200 °F is not well below the boiling point. */
  'high',
  'frozen',
  /** Raw fat that is not cold. */
  'warm',
  /** Several loads, so that fat waits. */
  'loads',
  /** Tallow that comes from hours of smoke. */
  'smoked',
  /** A blend with more salt than butter brings. */
  'salty',
  'unsalted',
] as const;

export type Circumstance = (typeof CIRCUMSTANCES)[number];

/** A caution applies where every part that is named fits; a part that is left out fits always. */
export interface Occasion {
  readonly activities: readonly Activity[];
  readonly methods?: readonly Method[];
  readonly cuts?: readonly Cut[];
  readonly seasons?: readonly Season[];
  readonly burners?: readonly (typeof BURNERS)[number][];
  readonly circumstance?: Circumstance;
}

/** What a person is about to do, as far as it is known. */
export interface Situation {
  readonly activity: Activity;
  readonly method?: Method | undefined;
  readonly cut?: Cut | undefined;
  readonly season?: Season | undefined;
  readonly burner?: (typeof BURNERS)[number] | undefined;
  readonly circumstances?: readonly Circumstance[] | undefined;
}

/** Longer than an evening’s work: our own choice. */
export const LONG_MINUTES = 240;

/** As much as one person should lift hot, in grams: our own margin, well under the 23 kg of the NIOSH lifting equation. */
export const HEAVIEST_LIFT_G = 10_000;

/** How many conditions an occasion names, where all of them fit; undefined where one does not. */
export function conditionsMet(
  { activities, methods, cuts, seasons, burners, circumstance }: Occasion,
  { activity, method, cut, season, burner, circumstances = [] }: Situation,
): number | undefined {
  if (circumstance !== undefined && !circumstances.includes(circumstance)) return undefined;
  const pairs: readonly (readonly [unknown, readonly unknown[] | undefined])[] = [
    [activity, activities],
    [method, methods],
    [cut, cuts],
    [season, seasons],
    [burner, burners],
  ];
  const named = pairs.flatMap(([value, wanted]) => (wanted === undefined ? [] : [wanted.includes(value)]));
  return named.includes(false) ? undefined : named.length + (circumstance === undefined ? 0 : 1);
}
