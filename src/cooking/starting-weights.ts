import { G_PER_LB } from '../words/units.js';

/** Starting weights of raw fat, in grams, that batches are proposed with: 1, 2, 4 and 8 lb (common practice, no source). */
export const PROPOSED_FATS_G: readonly number[] = [1, 2, 4, 8].map((pounds) => pounds * G_PER_LB);
