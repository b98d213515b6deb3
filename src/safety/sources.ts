/**
 * Where every figure that is not a member's own comes from. Other files name a source by its id; its title is
 * spelled in the folder beside this file and nowhere else.
 */

import { AS_QUOTED } from './sources/as-quoted.js';
import { COMPUTED } from './sources/computed.js';
import { FROM_MEMORY } from './sources/from-memory.js';
import { PRACTICE } from './sources/practice.js';
import { READ } from './sources/read.js';

type HowKnown = 'read' | 'as quoted by others' | 'from memory' | 'computed' | 'common practice, no source';

export interface Source {
  readonly title: string;
  /** Who stands behind it. */
  readonly body: string;
  /** Section, table or record. */
  readonly where: string;
  readonly known: HowKnown;
}

export type SourceId =
  | keyof typeof READ
  | keyof typeof AS_QUOTED
  | keyof typeof FROM_MEMORY
  | keyof typeof COMPUTED
  | keyof typeof PRACTICE;

/** Something taken as given in a calculation, in words for the person who asked. */
export interface Assumption {
  readonly text: string;
  readonly sources: readonly SourceId[];
}

export const assumed = (text: string, ...sources: readonly SourceId[]): Assumption => ({ text, sources });

type Entries = Readonly<
  Partial<Record<SourceId, Omit<Source, 'known' | 'body'> & { readonly body?: string }>>
>;

/** `body` is who stands behind all of them. */
const SOURCES: readonly { readonly known: HowKnown; readonly entries: Entries; readonly body?: string }[] = [
  { known: 'read', entries: READ },
  { known: 'as quoted by others', entries: AS_QUOTED },
  { known: 'from memory', entries: FROM_MEMORY },
  { known: 'computed', entries: COMPUTED, body: 'This project' },
  { known: 'common practice, no source', entries: PRACTICE, body: 'Home cooks' },
];

export function sourceOf(id: SourceId): Source {
  for (const { known, entries, body = '' } of SOURCES) {
    const entry = entries[id];
    if (entry !== undefined) return { body, ...entry, known };
  }
  throw new RangeError(`no source is called ${id}`);
}

/** What a reply says of figures that nobody published. */
export const COMMON_PRACTICE = 'Common practice (no published source)';

/** A few words for the foot of a reply: who says so, and where. */
export function briefCitation(id: SourceId): string {
  const { title, body, known } = sourceOf(id);
  if (known === 'common practice, no source') return COMMON_PRACTICE;
  const isSecondHand = known === 'from memory' || known === 'as quoted by others';
  return `${body}, ${title}${isSecondHand ? ` (${known})` : ''}`;
}

/** Published sources before what was worked out here, and both before common practice; otherwise as named. */
export function weightiestFirst(ids: readonly SourceId[]): readonly SourceId[] {
  const weight = (id: SourceId): number => {
    const { known } = sourceOf(id);
    return known === 'common practice, no source' ? 2 : known === 'computed' ? 1 : 0;
  };
  return [...new Set(ids)].sort((a, b) => weight(a) - weight(b));
}

const MOST_PUBLISHED = 2;

/**
 * What a reply names at its foot: that some of it is only common practice, if so, and the weightiest published sources.
 * The working names them all.
 */
export function sourceLines(ids: readonly SourceId[]): readonly string[] {
  const isPractice = (id: SourceId) => sourceOf(id).known === 'common practice, no source';
  const practice = ids.some(isPractice) ? [COMMON_PRACTICE] : [];
  const published = weightiestFirst(ids.filter((id) => !isPractice(id)));
  return [...practice, ...new Set(published.slice(0, MOST_PUBLISHED).map(briefCitation))];
}

/** Every source, for where all of it is asked for. */
export function allSourceLines(ids: readonly SourceId[]): readonly string[] {
  return [...new Set(weightiestFirst(ids).map(briefCitation))];
}
