// `npm run bench -- NAME`: runs test/bench/NAME.ts.
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { runnerImport } from 'vite';

const folder = fileURLToPath(new URL('.', import.meta.url));
const [name, ...rest] = process.argv.slice(2);
const names = readdirSync(folder)
  .filter((file) => file.endsWith('.ts') && !['fill.ts', 'corpus-lines.ts'].includes(file))
  .map((file) => file.replace(/\.ts$/, ''));
if (name === undefined || !names.includes(name)) {
  process.stderr.write(`Name a benchmark: npm run bench -- ${names.join(' | ')}\n`);
  process.exit(2);
}
process.argv = [process.argv[0] ?? 'node', name, ...rest];
await runnerImport(`${folder}${name}.ts`, { logLevel: 'error' });
