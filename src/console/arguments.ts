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

/** Those that take a value; the others are on or off. */
const WITH_VALUE: readonly string[] = ['as', 'community', 'now', 'data'];

/** Reads what was typed after `npm start --`. */
export function readArguments(
  argv: readonly string[],
):
  | { readonly ok: true; readonly arguments: ConsoleArguments }
  | { readonly ok: false; readonly problem: string } {
  const options = Object.fromEntries(
    Object.keys(schema.shape).map((name) => [
      name,
      { type: WITH_VALUE.includes(name) ? ('string' as const) : ('boolean' as const) },
    ]),
  );
  try {
    const { values, positionals } = parseArgs({ args: [...argv], allowPositionals: true, options });
    const read = schema.safeParse(values);
    if (read.success) return { ok: true, arguments: { ...read.data, words: positionals } };
    const problems = read.error.issues.map(({ path, message }) => `--${path.join('.')} ${message}`);
    return { ok: false, problem: problems.join('; ') };
  } catch (error) {
    // parseArgs throws a TypeError whose first sentence names the flag.
    if (error instanceof TypeError)
      return { ok: false, problem: (error.message.split('. ')[0] ?? '').trim() };
    throw error;
  }
}

/** What `npm start -- --help` prints. */
export const USAGE = `The bot talks on Discord when DISCORD_TOKEN is set, and here otherwise.

  npm start                                        a conversation; /help lists the commands
  npm start --silent -- '/water fat:"4 lb"'        answers and ends; several lines may follow one another
  npm start --silent -- analyse FILE.csv           analyses batches kept in a spreadsheet
  npm run backup -- FILE                           writes everything into a file, also while the bot runs
  npm run restore -- FILE                          puts it back, into an empty database

  --as NAME            who is speaking; Cook unless said
  --community NAME     whose records; home unless said
  --admin              speak as somebody who manages the community
  --demo               an invented community, filled afresh and kept apart from yours: a walk through the main job, or
                       your lines answered
  --data FOLDER        where records and pictures are kept
  --now MOMENT         pretend it is then, such as 2026-03-01T18:00:00Z
  --json               one JSON object a line instead of words
  --skip-bad           with analyse: use the lines that can be read
  --help               this
`;
