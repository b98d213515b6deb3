/** How fat is rendered and how it was cut. The values are stored; the labels are shown. */

export type Method = 'open-pot' | 'pressure' | 'slow-cooker' | 'stovetop-dry' | 'oven' | 'smoker';

/** A slow cooker is used both ways. */
export type Moisture = 'wet' | 'dry' | 'either';

export interface MethodWords {
  readonly value: Method;
  readonly label: string;
  readonly moisture: Moisture;
}

export const METHODS: readonly MethodWords[] = [
  { value: 'open-pot', label: 'Open pot, wet', moisture: 'wet' },
  { value: 'pressure', label: 'Pressure cooker, wet', moisture: 'wet' },
  { value: 'slow-cooker', label: 'Slow cooker', moisture: 'either' },
  { value: 'stovetop-dry', label: 'Stovetop, dry', moisture: 'dry' },
  { value: 'oven', label: 'Oven, dry', moisture: 'dry' },
  { value: 'smoker', label: 'Smoker, dry', moisture: 'dry' },
];

export type Cut = 'ground' | 'minced' | 'cubed';

export interface CutWords {
  readonly value: Cut;
  readonly label: string;
}

/** Finest first. */
export const CUTS: readonly CutWords[] = [
  { value: 'ground', label: 'Ground' },
  { value: 'minced', label: 'Minced' },
  { value: 'cubed', label: 'Cubed' },
];

export function isMethod(value: unknown): value is Method {
  return METHODS.some((method) => method.value === value);
}

export function isCut(value: unknown): value is Cut {
  return CUTS.some((cut) => cut.value === value);
}

export function methodLabel(method: Method): string {
  return wordsOf(METHODS, method).label;
}

export function moistureOf(method: Method): Moisture {
  return wordsOf(METHODS, method).moisture;
}

export function cutLabel(cut: Cut): string {
  return wordsOf(CUTS, cut).label;
}

/** A method or a cut inside a sentence: "pressure cooker", "ground". */
export function levelWords(level: string): string {
  if (isMethod(level)) return (methodLabel(level).split(',')[0] ?? level).toLowerCase();
  return isCut(level) ? cutLabel(level).toLowerCase() : level;
}

function wordsOf<W extends { readonly value: string }>(table: readonly W[], value: W['value']): W {
  const words = table.find((entry) => entry.value === value);
  if (words === undefined)
    throw new RangeError(`${value} is none of ${table.map((entry) => entry.value).join(', ')}`);
  return words;
}
