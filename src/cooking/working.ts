/** How an answer came about, so that a person can follow it and check it by hand. */

import {
  type Assumption,
  briefCitation,
  type SourceId,
  sourceOf,
  weightiestFirst,
} from '../safety/sources.js';

/** Whose figure an input is. */
export type Origin = 'said' | 'kit' | 'community' | 'assumed';

/** Something that went in, in words. */
export interface WorkingInput {
  readonly name: string;
  readonly value: string;
  readonly origin: Origin;
}

/** A figure in the unit beside it; `unit` is empty for a plain number. */
export interface WorkingStep {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
}

/** A published or computed figure that went in. */
export interface WorkingConstant extends WorkingStep {
  readonly source: SourceId;
}

/** What a calculation can say of itself. */
export interface Calculation {
  /** The formula in words. */
  readonly formula: string;
  readonly constants: readonly WorkingConstant[];
  readonly assumptions: readonly Assumption[];
  readonly steps: readonly WorkingStep[];
}

/** One calculation of an answer, under a name. */
export interface Part {
  readonly title: string;
  readonly calculation: Calculation;
  /** The command whose working shows it too, so that it may be left out of a long one. */
  readonly alsoIn?: string;
}

/** A working as it is shown: each part with its formula, what it takes as given and what comes out. */
export interface Working {
  readonly lines: readonly string[];
  /** Numbered as the lines refer to them. */
  readonly sources: readonly string[];
}

// Others than who asked may read it, so nobody is called “you”.
const ORIGINS: Readonly<Record<Origin, string>> = {
  said: 'Said',
  kit: 'From the kit',
  community: 'From this community',
  assumed: 'Assumed, as nothing was said',
};

/**
 * The working of an answer in plain lines. A constant or an assumption that several parts share is told once.
 * Throws RangeError when a figure is not a finite number.
 */
export function workingOf(
  inputs: readonly WorkingInput[],
  parts: readonly Part[],
  leftOut: readonly Part[] = [],
): Working {
  const sources = weightiestFirst(parts.flatMap(({ calculation }) => sourcesOf(calculation))).filter(
    (id) => !isPractice(id),
  );
  const mark = (ids: readonly SourceId[]): string => {
    const marks = ids.map((id) => (isPractice(id) ? 'common practice' : String(sources.indexOf(id) + 1)));
    return marks.length === 0 ? '' : ` [${[...new Set(marks)].join(', ')}]`;
  };
  const told = new Set<string>();
  const untold = (words: readonly string[]): readonly string[] => {
    const fresh = words.filter((one) => !told.has(one));
    for (const one of fresh) told.add(one);
    return fresh;
  };
  const partLines = parts.flatMap(({ title, calculation }) => {
    const { formula, constants, assumptions, steps } = calculation;
    const given = untold(constants.map((one) => `${figureWords(one)}${mark([one.source])}`));
    const assumed = untold(assumptions.map(({ text, sources: of }) => `${text}${mark(of)}`));
    return [
      `${title}: ${formula}.`,
      ...(given.length === 0 ? [] : [`Given: ${given.join('; ')}.`]),
      ...(assumed.length === 0 ? [] : [`Assumed: ${assumed.join(' ')}`]),
      `So: ${steps.map(figureWords).join('; ')}.`,
    ];
  });
  return {
    lines: [...inputLines(inputs), ...partLines, ...leftOutLines(leftOut)],
    sources: sources.map((id, at) => `[${at + 1}] ${briefCitation(id)}`),
  };
}

/** Every input in the line of those that came from the same place. */
function inputLines(inputs: readonly WorkingInput[]): readonly string[] {
  return Object.entries(ORIGINS).flatMap(([origin, words]) => {
    const those = inputs.filter((input) => input.origin === origin);
    return those.length === 0
      ? []
      : [`${words}: ${those.map(({ name, value }) => `${name} ${value}`).join('; ')}.`];
  });
}

function leftOutLines(parts: readonly Part[]): readonly string[] {
  const [first] = parts;
  if (first === undefined) return [];
  const titles = parts.map(({ title }) => title.toLowerCase()).join(', ');
  return [`Left out for want of room: ${titles}. ${first.alsoIn} shows that for the same amounts.`];
}

/** Every source a calculation rests on. */
const sourcesOf = ({ constants, assumptions }: Calculation): readonly SourceId[] => [
  ...constants.map(({ source }) => source),
  ...assumptions.flatMap(({ sources }) => sources),
];

const isPractice = (id: SourceId): boolean => sourceOf(id).known === 'common practice, no source';

function figureWords({ name, value, unit }: WorkingStep): string {
  if (!Number.isFinite(value)) throw new RangeError(`${name} is ${value}, not a finite number`);
  return `${name} ${shortNumber(value)}${unit === '' ? '' : ` ${unit}`}`;
}

/** Four significant digits, whole numbers kept whole, never in powers of ten. */
function shortNumber(value: number): string {
  if (Number.isInteger(value) || Math.abs(value) >= 1000) return String(Math.round(value));
  return String(Number(value.toPrecision(4)));
}
