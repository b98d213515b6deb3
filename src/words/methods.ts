/** How fat is rendered and how it was cut. The values are stored; the labels are shown. */

/** A slow cooker is used wet and dry. */
export const METHODS = [
  { value: 'open-pot', label: 'Open pot, wet', moisture: 'wet' },
  { value: 'pressure', label: 'Pressure cooker, wet', moisture: 'wet' },
  { value: 'slow-cooker', label: 'Slow cooker', moisture: 'either' },
  { value: 'stovetop-dry', label: 'Stovetop, dry', moisture: 'dry' },
  { value: 'oven', label: 'Oven, dry', moisture: 'dry' },
  { value: 'smoker', label: 'Smoker, dry', moisture: 'dry' },
] as const;

export type Method = (typeof METHODS)[number]['value'];

/** Finest first. */
export const CUTS = [
  { value: 'ground', label: 'Ground' },
  { value: 'minced', label: 'Minced' },
  { value: 'cubed', label: 'Cubed' },
] as const;

export type Cut = (typeof CUTS)[number]['value'];

export function isMethod(value: unknown): value is Method {
  return METHODS.some((method) => method.value === value);
}

export function isCut(value: unknown): value is Cut {
  return CUTS.some((cut) => cut.value === value);
}

export function methodLabel(method: Method): string {
  return wordsOf(METHODS, method).label;
}

export function moistureOf(method: Method): 'wet' | 'dry' | 'either' {
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
