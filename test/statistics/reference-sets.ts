import { readFileSync } from 'node:fs';

/** Reference results of public statistics packages for invented batches. */
const FOLDER = new URL('../reference/stats/', import.meta.url);

export const SET_NAMES = [
  'typical',
  'heavy-logger',
  'no-member-variance',
  'collinear-time',
  'one-member',
  'outliers',
] as const;

/** Levels in the order of the reference results. */
export const METHODS = [
  'open pot wet',
  'pressure cooker wet',
  'slow cooker dry-ish',
  'stovetop dry',
  'smoker dry',
  'oven dry',
] as const;
export const CUTS = ['ground', 'minced', 'cubed'] as const;

export interface ReferenceBatch {
  readonly batch: number;
  readonly member: string;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly minutes: number;
  readonly tallowG: number;
}

export function readReferenceBatches(set: string): readonly ReferenceBatch[] {
  const [header = '', ...lines] = readFileSync(new URL(`${set}.csv`, FOLDER), 'utf8')
    .trim()
    .split(/\r?\n/);
  const columns = header.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    const cell = (name: string) => cells[columns.indexOf(name)] ?? '';
    return {
      batch: Number(cell('batch')),
      member: cell('member'),
      method: cell('method'),
      cut: cell('cut'),
      fatG: Number(cell('fat_g')),
      minutes: Number(cell('minutes')),
      tallowG: Number(cell('tallow_g')),
    };
  });
}

/** The results as written: the test that reads them says which shape it expects. */
export function readReferenceResults<Shape>(set: string): Shape {
  return JSON.parse(readFileSync(new URL(`${set}.json`, FOLDER), 'utf8')) as Shape;
}

/** |actual − expected| as a share of |expected| (of 1 when expected is 0). */
export function relativeError(actual: number, expected: number): number {
  return Math.abs(actual - expected) / (expected === 0 ? 1 : Math.abs(expected));
}
