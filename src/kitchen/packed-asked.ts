import { z } from 'zod';
import { numberIn } from '../chat/action.js';
import { visible } from '../chat/clean.js';
import { packedShare, unpackedShare } from '../findings/expected-share.js';
import type { Asked } from './asked.js';
import { MOST_WATER_ML, SEVERAL_DAYS_MINUTES } from './options.js';

// What was asked, as it travels in the id of a button. Everybody who sees a message can read its ids, so what comes from
// somebody's kit is kept as a draft instead.

const DRAFT = '#';

/** What stands in an id for a draft. */
export const draftPart = (id: string): string => `${DRAFT}${id}`;

/** `name=value` for what was said, `~water,left,minutes` for a measured render, `!` for a forecast, `@time`. */
export function packed({ said, measured, share, atMs }: Omit<Asked, 'kit'>): readonly string[] {
  return [
    ...Object.entries(said).map(([name, text]) => `${name}=${escaped(text)}`),
    ...measured.map(({ waterMl, waterLeftMl, minutes }) => `~${waterMl},${waterLeftMl},${minutes}`),
    ...(share === undefined ? [] : [`!${packedShare(share)}`]),
    ...(atMs === undefined ? [] : [`@${atMs.toString(36)}`]),
  ];
}

/** What stands in an id: what was asked, or where it is kept. */
export type Packed =
  | { readonly kind: 'asked'; readonly asked: Asked }
  | { readonly kind: 'draft'; readonly id: string };

export const packedIn = z
  .array(z.string())
  .min(1)
  .transform((parts, context): Packed => {
    const read = parts.length === 1 && parts[0]?.startsWith(DRAFT) ? draftOf(parts[0]) : askedOf(parts);
    if (read !== undefined) return read;
    context.addIssue({ code: 'custom', message: 'not written by a button' });
    return z.NEVER;
  });

const draftOf = (part: string): Packed => ({ kind: 'draft', id: part.slice(DRAFT.length) });

function askedOf(parts: readonly string[]): Packed | undefined {
  const said = new Map<string, string>();
  const measured: Asked['measured'][number][] = [];
  let share: Asked['share'];
  let atMs: number | undefined;
  for (const part of parts) {
    const rest = part.slice(1);
    if (part.startsWith('@')) {
      atMs = timeIn(rest);
      if (atMs === undefined) return undefined;
    } else if (part.startsWith('!')) {
      share = unpackedShare(rest);
      if (share === undefined) return undefined;
    } else if (part.startsWith('~')) {
      const render = renderIn(rest);
      if (render === undefined) return undefined;
      measured.push(render);
    } else {
      const [, name, text] = /^([^=*]+)=(.*)$/s.exec(part) ?? [];
      const value = text === undefined ? undefined : unescaped(text);
      if (name === undefined || value === undefined) return undefined;
      said.set(name, value);
    }
  }
  return { kind: 'asked', asked: { said: Object.fromEntries(said), kit: {}, measured, share, atMs } };
}

/** In epoch milliseconds, from 1970 to 2099. */
function timeIn(text: string): number | undefined {
  const ms = /^[0-9a-z]{1,9}$/.test(text) ? Number.parseInt(text, 36) : Number.NaN;
  return ms < Date.UTC(2100) ? ms : undefined;
}

/** Within the bounds of what can be logged. */
function renderIn(text: string): Asked['measured'][number] | undefined {
  const read = measuredIn.safeParse(text.split(','));
  if (!read.success) return undefined;
  const [waterMl, waterLeftMl, minutes] = read.data;
  return { waterMl, waterLeftMl, minutes };
}

const waterIn = numberIn(0, MOST_WATER_ML);
const measuredIn = z.tuple([waterIn, waterIn, numberIn(Number.MIN_VALUE, SEVERAL_DAYS_MINUTES)]);

/** No space and no bar: an id can be typed as one word. */
const escaped = (text: string): string => encodeURIComponent(text).replaceAll('%20', '+');

/** What was escaped has not come through the door for text, so it is cleaned here. */
function unescaped(text: string): string | undefined {
  try {
    return visible(decodeURIComponent(text.replaceAll('+', '%20')));
  } catch {
    return undefined;
  }
}
