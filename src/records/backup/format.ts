import { z } from 'zod';

/**
 * A backup is the gzip of lines in UTF-8: a header, each table, the totals, and a seal. A table is a line that names it
 * and its columns, then its rows in the text format of Postgres' COPY, each on one line, then the line that ends COPY. It
 * comes after those that its foreign keys point to. All other lines are JSON objects.
 */
export const FORMAT = 1;

/** Ends the rows of a table; no row can be like it (PostgreSQL manual, COPY, Text Format). */
export const END_OF_ROWS = Buffer.from('\\.\n');

export const headerLine = z.strictObject({
  tallowTally: z.literal('backup'),
  format: z.literal(FORMAT),
  /** When it was made. */
  at: z.iso.datetime(),
  /** Names of the migrations that had been run, in their order. */
  migrations: z.array(z.string()).min(1).readonly(),
});
export type Header = z.infer<typeof headerLine>;

/** The first line of any format. */
export const anyHeaderLine = z.looseObject({ tallowTally: z.literal('backup'), format: z.number() });

export const tableLine = z.strictObject({
  table: z.string(),
  columns: z.array(z.string()).min(1).readonly(),
});
export type TableColumns = z.infer<typeof tableLine>;

export const totalsLine = z.strictObject({
  /** How many rows each table has. */
  rows: z.record(z.string(), z.int().nonnegative()),
  /** Where each sequence stands. */
  sequences: z.record(z.string(), z.strictObject({ last: z.string().regex(/^-?\d+$/), called: z.boolean() })),
});
export type Totals = z.infer<typeof totalsLine>;

export const sealLine = z.strictObject({
  /** SHA-256, in hexadecimal, of all that stands before this line. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
});
export type Seal = z.infer<typeof sealLine>;

export const jsonLine = (value: Header | TableColumns | Totals | Seal): Buffer =>
  Buffer.from(`${JSON.stringify(value)}\n`);

/** What a line says; undefined when it says nothing of that shape. */
export function readLine<T>(shape: z.ZodType<T>, line: Buffer): T | undefined {
  try {
    return shape.safeParse(JSON.parse(line.toString('utf8'))).data;
  } catch {
    return undefined;
  }
}

const LINE_FEED = 0x0a;

/** How many rows there are in some whole lines. */
export function rowsIn(bytes: Buffer): number {
  let count = 0;
  for (let at = bytes.indexOf(LINE_FEED); at !== -1; at = bytes.indexOf(LINE_FEED, at + 1)) count++;
  return count;
}

export const sumOf = ({ rows }: Pick<Totals, 'rows'>): number =>
  Object.values(rows).reduce((sum, count) => sum + count, 0);
