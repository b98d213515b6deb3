import { z } from 'zod';

/**
 * A backup is the gzip of lines in UTF-8: a header, each table, the totals, and a seal. A table is a line that names it
 * and its columns, then its rows in the text format of Postgres' COPY, each on one line, then the line that ends COPY. It
 * comes after those that its foreign keys point to. All other lines are JSON objects.
 */
export const FORMAT = 1;

/** Ends the rows of a table; no row can be like it (PostgreSQL manual, COPY, Text Format). */
export const END_OF_ROWS = '\\.';

const header = z.strictObject({
  tallowTally: z.literal('backup'),
  format: z.literal(FORMAT),
  /** When it was made. */
  at: z.iso.datetime(),
  /** Names of the migrations that had been run, in their order. */
  migrations: z.array(z.string()).min(1),
});
export type Header = z.infer<typeof header>;

const table = z.strictObject({ table: z.string(), columns: z.array(z.string()).min(1) });
export type TableStart = z.infer<typeof table>;

const totals = z.strictObject({
  /** How many rows each table has. */
  rows: z.record(z.string(), z.int().nonnegative()),
  /** Where each sequence stands. */
  sequences: z.record(z.string(), z.strictObject({ last: z.string().regex(/^-?\d+$/), called: z.boolean() })),
});
export type Totals = z.infer<typeof totals>;

const seal = z.strictObject({
  /** SHA-256, in hexadecimal, of all that stands before this line. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
});
export type Seal = z.infer<typeof seal>;

const anyHeader = z.looseObject({ tallowTally: z.literal('backup'), format: z.number() });

/** `newer` for a format that this version does not know. */
export function readHeader(line: string): Header | 'newer' | undefined {
  const json = parseJson(line);
  const read = header.safeParse(json);
  if (read.success) return read.data;
  const other = anyHeader.safeParse(json);
  return other.success && other.data.format > FORMAT ? 'newer' : undefined;
}

/** What stands between the tables and after them. */
export function readMark(line: string): TableStart | Totals | Seal | undefined {
  const read = z.union([table, totals, seal]).safeParse(parseJson(line));
  return read.success ? read.data : undefined;
}

/** A line that is a JSON object. */
export const jsonLine = (value: Header | TableStart | Totals | Seal): Buffer =>
  Buffer.from(`${JSON.stringify(value)}\n`);

function parseJson(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}
