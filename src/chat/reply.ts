/** Who sees a reply: the whole channel, or the person who asked. */
export type Audience = 'everyone' | 'only you';

/** A number a reply was made from, in SI units with the unit in its name; nested where a reply speaks of several things. */
export type Figure = number | null | readonly Figure[] | { readonly [name: string]: Figure };
export type Figures = { readonly [name: string]: Figure };

interface Column {
  readonly title: string;
  readonly align: 'left' | 'right';
}

export interface Table {
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly string[])[];
}

export interface Picture {
  readonly png: Uint8Array;
  /** File name without a folder, ending in `.png`. */
  readonly name: string;
  readonly alt: string;
}

/** A warning shown beside an answer; the wording and the sources live in the trade's table of cautions. */
export interface ShownCaution {
  readonly id: string;
  readonly text: string;
  readonly source: string;
}

/** One thing worth knowing, under its label: “Pot”, “8 qt or bigger”. */
export interface Fact {
  readonly label: string;
  readonly text: string;
}

/** One thing to do and when: “Fri 5:00 pm”, “Grind”. */
export interface Step {
  readonly when: string;
  readonly what: string;
}

/** A button: everything needed to act on it is in its id. */
export interface Action {
  readonly id: string;
  readonly label: string;
  readonly weight: 'main' | 'plain' | 'grave';
}

export interface Reply {
  readonly kind: 'reply';
  /** The answer itself. */
  readonly title: string;
  readonly audience: Audience;
  /** Plain sentences, of a reply that tells all there is. Adapters escape everything: it may hold what people typed. */
  readonly lines: readonly string[];
  readonly facts: readonly Fact[];
  readonly steps: readonly Step[];
  readonly table?: Table;
  readonly picture?: Picture;
  /** One thing more, in small print. */
  readonly note?: string;
  /** The one warning that matters most, of a short reply. */
  readonly caution?: ShownCaution;
  /** Every warning, of a reply that tells all there is. */
  readonly cautions: readonly ShownCaution[];
  /** Where the figures come from, one source a line. */
  readonly sources: readonly string[];
  readonly actions: readonly Action[];
  readonly figures: Figures;
  /** What was stored, to be said even where the reply itself cannot be shown. */
  readonly saved?: string;
}

/** What a person asked cannot be done as asked. Nothing was stored. */
export interface Refusal {
  readonly kind: 'refusal';
  readonly title: string;
  /** What was wrong and what would have worked; and, once dispatched, that nothing was saved where something could be. */
  readonly text: string;
  /** Buttons that help to put it right. */
  readonly actions: readonly Action[];
}

/** An answer failed and the person did nothing wrong. */
export interface Fault {
  readonly kind: 'fault';
  readonly title: string;
  /** What was saved and what to do. */
  readonly text: string;
  /** Found in the log beside what went wrong. */
  readonly reference: string;
}

/** What every reply says, and what may be left out of one. */
export type ReplyParts = Pick<Reply, 'title'> & {
  readonly [Part in Exclude<keyof Reply, 'kind' | 'title' | 'saved'>]?: Reply[Part] | undefined;
};

/** A short reply says no more than this; the rest is behind a button. */
const MOST_FACTS = 5;

/**
 * A reply with what was left out filled in: seen by everyone, no cautions, no buttons.
 * Throws RangeError when a figure is not a finite number, for such a number must never reach a person, and when there are
 * more facts than somebody takes in.
 */
export function reply({
  table,
  picture,
  note,
  caution,
  figures = {},
  facts = [],
  ...parts
}: ReplyParts): Reply {
  assertFinite(figures, parts.title);
  if (facts.length > MOST_FACTS) throw new RangeError(`“${parts.title}” has ${facts.length} facts`);
  return {
    kind: 'reply',
    title: parts.title,
    audience: parts.audience ?? 'everyone',
    lines: parts.lines ?? [],
    facts,
    steps: parts.steps ?? [],
    ...(table && { table }),
    ...(picture && { picture }),
    ...(note && { note }),
    ...(caution && { caution }),
    cautions: parts.cautions ?? [],
    sources: parts.sources ?? [],
    actions: parts.actions ?? [],
    figures,
  };
}

/** The warnings of a reply, the one that matters most before all others. */
export const cautionsOf = ({ caution, cautions }: Reply): readonly ShownCaution[] =>
  caution ? [caution, ...cautions] : cautions;

/** Some of what was worked out, as figures under the names that it has there. */
export const figuresOf = <T extends object, const K extends keyof T>(of: T, ...names: readonly K[]) =>
  Object.fromEntries(names.map((name) => [name, of[name]])) as Pick<T, K>;

/** A reply with its picture; where that could not be drawn, without it, and it says so. `missed` hears why. */
export async function withPicture(
  without: Reply,
  drawing: Promise<Picture | undefined> | undefined,
  missed: (error: unknown) => void,
): Promise<Reply> {
  try {
    const picture = await drawing;
    return picture ? { ...without, picture } : without;
  } catch (error) {
    missed(error);
    return { ...without, lines: [...without.lines, 'The picture could not be drawn this time.'] };
  }
}

/** A refusal: `text` says what was wrong and what would have worked. */
export function refusal(title: string, text: string, actions: readonly Action[] = []): Refusal {
  return { kind: 'refusal', title, text, actions };
}

/** Tells a refusal from what would have been answered or found instead. */
export const isRefusal = (value: unknown): value is Refusal =>
  typeof value === 'object' && value !== null && 'kind' in value && value.kind === 'refusal';

function assertFinite(figure: Figure, path: string): void {
  if (typeof figure === 'number') {
    if (!Number.isFinite(figure)) throw new RangeError(`figure ${path} is not a finite number`);
  } else if (figure !== null) {
    for (const [name, inner] of Object.entries(figure)) assertFinite(inner, `${path}.${name}`);
  }
}
