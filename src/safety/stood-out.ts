import type { SourceId } from './sources.js';

/** How long perishable food may be between 40 and 140 °F (4 and 60 °C): USDA FSIS, Danger Zone. */
export const STANDING_HOURS = { usual: 2, hot: 1 } as const;
/** 90 °F: above it the shorter time holds. */
export const HOT_PLACE_C = 32.2;
/** 140 °F: food is out of the danger zone above it. */
export const HELD_HOT_C = 60;

/** How long it stood, as far as the rules tell times apart. */
export const STANDING_TIMES = [
  { value: 'short', label: 'Up to 1 hour' },
  { value: 'middle', label: '1 to 2 hours' },
  { value: 'long', label: 'Over 2 hours, or not known' },
] as const;

export type StandingTime = (typeof STANDING_TIMES)[number]['value'];

export const WARMTHS = [
  { value: 'usual', label: '90 °F (32 °C) or less' },
  { value: 'hot', label: 'Above 90 °F, or in the sun' },
] as const;

export type Warmth = (typeof WARMTHS)[number]['value'];

export const STANDING_SOURCES: readonly SourceId[] = ['fsis-danger-zone', 'staph-toxin', 'tallow-by-analogy'];

/** Whether to keep or to throw away what stood out; undefined while it turns on how warm it was there. */
export function keepOrThrow(stood: StandingTime, warmth?: Warmth): 'keep' | 'throw' | undefined {
  if (stood === 'short') return 'keep';
  if (stood === 'long') return 'throw';
  return warmth && (warmth === 'hot' ? 'throw' : 'keep');
}
