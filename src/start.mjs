// `npm start`: builds when a source changed since the last build, then runs the bot: in this same process, or on Discord
// in one of its own that is started again when it fails.
import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const dist = join(root, 'dist');
const stamp = join(dist, '.sources');

/** What the build reads, with the size and time of each file. */
const sources = ['src', 'commands', 'migrations']
  .flatMap((folder) => readdirSync(join(root, folder), { recursive: true, withFileTypes: true }))
  .filter((entry) => entry.isFile())
  .map((entry) => join(entry.parentPath, entry.name))
  .concat(['tsconfig.json', 'package-lock.json'].map((name) => join(root, name)))
  .map((file) => [file, statSync(file).size, statSync(file).mtimeMs]);
const current = JSON.stringify(sources);

if (!existsSync(stamp) || readFileSync(stamp, 'utf8') !== current) {
  process.stderr.write('Building, this takes a few seconds…\n');
  // Into a folder of its own first, so that two starts at once cannot run each other's half-written files.
  const fresh = `${dist}.${process.pid}`;
  const tsc = join(root, 'node_modules', 'typescript', 'bin', 'tsc');
  const { status, stdout } = spawnSync(
    process.execPath,
    [tsc, '--project', join(root, 'src', 'tsconfig.build.json'), '--outDir', fresh],
    { encoding: 'utf8' },
  );
  if (status !== 0) {
    rmSync(fresh, { recursive: true, force: true });
    process.stderr.write(`The build failed:\n${stdout}\n`);
    process.exit(1);
  }
  mkdirSync(fresh, { recursive: true });
  writeFileSync(join(fresh, '.sources'), current);
  const old = `${fresh}.old`;
  if (existsSync(dist)) renameSync(dist, old);
  renameSync(fresh, dist);
  rmSync(old, { recursive: true, force: true });
}

const main = join(dist, 'src', 'main.js');
const args = process.argv.slice(2);

/** As `main` decides it; what is malformed is for it to say. */
async function talksOnDiscord() {
  if (process.env.DISCORD_TOKEN === undefined) return false;
  const { readArguments } = await import(join(dist, 'src', 'console', 'arguments.js'));
  const read = readArguments(args);
  return read.ok && read.arguments.words.length === 0 && !read.arguments.demo && !read.arguments.help;
}

if (await talksOnDiscord()) {
  const { keepRunning } = await import(join(dist, 'src', 'supervisor.js'));
  const say = (/** @type {string} */ line) => void process.stderr.write(`${line}\n`);
  process.exitCode = await keepRunning({ file: main, args, say });
} else await import(main);
