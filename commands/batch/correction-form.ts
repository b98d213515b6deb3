import { z } from 'zod';
import { actionId } from '../../src/chat/action.js';
import { type Form, formOf } from '../../src/chat/command.js';
import type { Given } from '../../src/chat/option.js';
import { optional } from '../../src/chat/options.js';
import * as option from '../../src/kitchen/options.js';
import type { Batch, BatchFacts } from '../../src/records/batches.js';
import { G_PER_OZ } from '../../src/words/units.js';
import { BATCH_DETAILS, TASTES } from './options.js';

/** What fits into a dialog of five fields. */
const FORM = {
  fat: option.fatWeight(true),
  tallow: option.tallowWeight(true),
  minutes: option.minutes('Rendering time; a bare number is minutes'),
  taste: { ...BATCH_DETAILS.taste, description: 'How it tastes', example: TASTES.join(', ') },
  note: { ...BATCH_DETAILS.note, description: 'Anything worth remembering, on one line' },
} as const;

/** The same fields when they are handed in: one that is missing stays as it is. */
export const HANDED_IN = { ...FORM, fat: optional(FORM.fat), tallow: optional(FORM.tallow) } as const;

/** The form for correcting a batch, filled in with what it says. */
export const correctionForm = (found: Batch): Form => formSince(found.number, found.changes, filledIn(found));

/** The form as it was handed in: what was `typed` over what was `shown` after so many `changes`. */
export const formAgain = (number: number, changes: number, shown: Shown, typed: Given): Form =>
  formSince(number, changes, { ...filledIn(shown), ...typed });

const formSince = (number: number, changes: number, filled: Filled): Form =>
  formOf(actionId('batch.correct', number, changes), `Correct batch ${number}`, FORM, filled);

/** What the form shows of a batch. */
export type Shown = Pick<BatchFacts, 'fatG' | 'tallowG' | 'minutes' | 'taste' | 'note'>;

type Filled = { readonly [name: string]: string | undefined };

function filledIn(found: Shown): Filled {
  return {
    fat: weightAsTyped(found.fatG),
    tallow: weightAsTyped(found.tallowG),
    minutes: found.minutes === undefined ? undefined : `${trimmed(found.minutes)} min`,
    taste: found.taste.length > 0 ? found.taste.join(', ') : undefined,
    note: found.note,
  };
}

/** The same of a batch as its history holds it, by columns. */
export function shownBy(columns: Readonly<Record<string, unknown>> | undefined): Shown | undefined {
  const read = recorded.safeParse(columns);
  if (!read.success) return undefined;
  const { fat_g, tallow_g, minutes, taste, note } = read.data;
  return {
    fatG: fat_g,
    tallowG: tallow_g,
    minutes: minutes ?? undefined,
    taste: taste ?? [],
    note: note ?? undefined,
  };
}

const recorded = z.object({
  fat_g: z.number(),
  tallow_g: z.number(),
  minutes: z.number().nullish(),
  taste: z.array(z.string()).nullish(),
  note: z.string().nullish(),
});

/** A weight in the units it was given in, which show: none in pounds and ounces is a round number of grams. */
function weightAsTyped(grams: number): string {
  const hundredthsOfOunce = Math.round((grams / G_PER_OZ) * 100);
  const isInOunces =
    Math.abs((hundredthsOfOunce / 100) * G_PER_OZ - grams) < SAME_G &&
    Math.abs(Math.round(grams * 10) / 10 - grams) > SAME_G;
  if (!isInOunces) return `${trimmed(grams)} g`;
  const pounds = Math.floor(hundredthsOfOunce / 1600);
  const ounces = (hundredthsOfOunce % 1600) / 100;
  return [...(pounds > 0 ? [`${pounds} lb`] : []), ...(ounces > 0 ? [`${ounces} oz`] : [])].join(' ');
}

/** Only what arithmetic leaves over. */
const SAME_G = 1e-6;

const trimmed = (value: number): string => String(Number(value.toFixed(1)));

/** The fields that say something else than the form did: what it shows is rounded, and must not be taken for new. */
export function changedFields(shown: Shown, handedIn: Given): Given {
  const before = filledIn(shown);
  return Object.fromEntries(
    Object.entries(handedIn).filter(([name, text]) => text.trim() !== (before[name] ?? '').trim()),
  );
}
