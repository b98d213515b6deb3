import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * What a test needs, from the least to the most. What it imports, and what the files under `test/` that it imports do,
 * says which: whatever starts a process is of `processes`, whatever else has a database is of `records`, the rest is `pure`.
 */
export type Project = 'pure' | 'records' | 'processes';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** Whoever imports one of these starts processes: bots, servers, or threads with a database of their own. */
const STARTS_PROCESSES = ['node:child_process', 'src/records/embedded/embedded-postgres', 'src/supervisor'];
const HAS_A_DATABASE = 'test/support/postgres';

/** The tests of each project, by their paths from the root. */
export function testsByProject(): Readonly<Record<Project, readonly string[]>> {
  const byProject: Record<Project, string[]> = { pure: [], records: [], processes: [] };
  for (const name of readdirSync(join(ROOT, 'test'), { recursive: true, encoding: 'utf8' })) {
    if (!name.endsWith('.test.ts')) continue;
    const test = join('test', name);
    byProject[projectOf(importsOf(test))].push(test);
  }
  return byProject;
}

function projectOf(imported: ReadonlySet<string>): Project {
  if (STARTS_PROCESSES.some((one) => imported.has(one))) return 'processes';
  return imported.has(HAS_A_DATABASE) ? 'records' : 'pure';
}

/** Everything that a file imports, itself or by way of others under `test/`; files without their endings. */
function importsOf(file: string, found = new Set<string>()): ReadonlySet<string> {
  for (const [, name = ''] of readFileSync(join(ROOT, file), 'utf8').matchAll(/\bfrom '([^']+)'/g)) {
    const path = name.startsWith('.') ? relative(ROOT, join(ROOT, dirname(file), name)) : name;
    const imported = path.replace(/\.js$/, '');
    if (found.has(imported)) continue;
    found.add(imported);
    if (imported.startsWith('test/') && path.endsWith('.js')) importsOf(`${imported}.ts`, found);
  }
  return found;
}
