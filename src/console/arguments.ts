import { parseArgs } from 'node:util';
import { z } from 'zod';
import { oneLine } from '../chat/clean.js';

const nameLike = (example: string) =>
  z
    .string()
    .transform(oneLine)
    .pipe(
      z.string().min(1, `is a name, for example ${example}`).max(80, 'is a name of at most 80 characters'),
    );

const schema = z.object({
  json: z.boolean().default(false),
  as: nameLike('--as Robin').default('Cook'),
  community: nameLike('--community home').default('home'),
  admin: z.boolean().default(false),
  now: z.iso
    .datetime({ offset: true, error: 'is a moment like 2026-03-01T18:00:00Z' })
    .transform((text) => new Date(text))
    .optional(),
  data: z.string().trim().min(1, 'is a folder, for example --data data').optional(),
  demo: z.boolean().default(false),
  'skip-bad': z.boolean().default(false),
  help: z.boolean().default(false),
});

export interface ConsoleArguments extends z.infer<typeof schema> {
  /** What stands outside the flags: lines to answer, or words for a program of its own. */
  readonly words: readonly string[];
}

export type ReadArguments =
  | { readonly ok: true; readonly arguments: ConsoleArguments }
  | { readonly ok: false; readonly problem: string };

/** Reads what was typed after `npm start --`. */
export function readArguments(argv: readonly string[]): ReadArguments {
  try {
    const { values, positionals } = parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: {
        json: { type: 'boolean' },
        as: { type: 'string' },
        community: { type: 'string' },
        admin: { type: 'boolean' },
        now: { type: 'string' },
        data: { type: 'string' },
        demo: { type: 'boolean' },
        'skip-bad': { type: 'boolean' },
        help: { type: 'boolean' },
      },
    });
    const read = schema.safeParse(values);
    if (!read.success) {
      const problems = read.error.issues.map(({ path, message }) => `--${path.join('.')} ${message}`);
      return { ok: false, problem: problems.join('; ') };
    }
    return { ok: true, arguments: { ...read.data, words: positionals } };
  } catch (error) {
    // parseArgs throws a TypeError whose first sentence names the flag.
    if (error instanceof TypeError)
      return { ok: false, problem: (error.message.split('. ')[0] ?? '').trim() };
    throw error;
  }
}
