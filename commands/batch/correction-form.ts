import { z } from 'zod';
import { actionId } from '../../src/chat/action.js';
import { type Form, formOf } from '../../src/chat/command.js';
import type { Given } from '../../src/chat/option.js';
import { optional } from '../../src/chat/options.js';
import type { Batch, BatchFacts } from '../../src/records/batches.js';
import * as option from '../shared/options.js';
import { BATCH_DETAILS, TASTES } from './options.js';

/** What fits into a dialog of five fields. */
const FORM = {
  fat: option.fatWeight(true),
  tallow: option.tallowWeight(true),
  minutes: option.minutes('How long it rendered'),
  taste: { ...BATCH_DETAILS.taste, description: 'How it tastes', example: TASTES.join(', ') },
  note: BATCH_DETAILS.note,
} as const;

/** The same fields when they are handed in: one that is missing stays as it is. */
export const HANDED_IN = { ...FORM, fat: optional(FORM.fat), tallow: optional(FORM.tallow) } as const;

/** The form for correcting a batch, filled in with what it says. */
export function correctionForm(found: Batch): Form {
  return formOf(
    actionId('batch.correct', found.number, found.changes),
    `Correct batch ${found.number}`,
    FORM,
    filledIn(found),
  );
}

/** What the form shows of a batch. */
export type Shown = Pick<BatchFacts, 'fatG' | 'tallowG' | 'minutes' | 'taste' | 'note'>;

function filledIn(found: Shown): { readonly [name: string]: string | undefined } {
  return {
    fat: `${trimmed(found.fatG)} g`,
    tallow: `${trimmed(found.tallowG)} g`,
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

const trimmed = (value: number): string => String(Number(value.toFixed(1)));

/** The fields that say something else than the form did: what it shows is rounded, and must not be taken for new. */
export function changedFields(shown: Shown, handedIn: Given): Given {
  const before = filledIn(shown);
  return Object.fromEntries(
    Object.entries(handedIn).filter(([name, text]) => text.trim() !== (before[name] ?? '').trim()),
  );
}
