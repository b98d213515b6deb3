/**
 * What the bot answers to hundreds of lines, whole: `npm run bench -- corpus FILE` writes it, `npm run bench -- corpus
 * FILE compare` answers the lines again and shows each that comes out otherwise. For changes that must not change
 * behaviour. Every button that an answer shows is pressed once. The exit status is 1 when something differs.
 */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Answer, type Bot, startBot } from '../support/bot.js';
import { CORPUS, type CorpusPart } from './corpus-lines.js';

const [file, mode] = process.argv.slice(2);
const NOW = '2026-11-25T18:00:00Z';
const LONG = /-?\d+\.\d{5,}(?:e[-+]?\d+)?/g;
const UUID = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/g;

/** Answers a part's lines, and after each line presses what its answer showed. */
async function answersOf(part: CorpusPart, dataDir: string): Promise<readonly string[]> {
  const bot: Bot = startBot({
    dataDir,
    args: ['--now', NOW, '--as', part.as, '--community', part.community, ...(part.admin ? ['--admin'] : [])],
  });
  const answers: string[] = [];
  const say = async (line: string): Promise<Answer> => {
    const answer = await bot.say(line);
    answers.push(JSON.stringify({ line, answer }));
    return answer;
  };
  for (const line of part.lines) {
    const { reply } = await say(line);
    for (const id of reply?.actions ?? []) await say(`press:"${id}"`);
  }
  await bot.finish();
  return answers;
}

/**
 * Random ids by the order in which they come, no folder of this machine, and of long figures nine digits: Postgres adds
 * up in whatever order it likes.
 */
function normalised(lines: readonly string[], dataDir: string): readonly string[] {
  const seen = new Map<string, string>();
  return lines.map((line) =>
    line
      .replaceAll(dataDir, 'DATA')
      .replace(LONG, (figure) => String(Number(Number(figure).toPrecision(9))))
      .replace(UUID, (id) => {
        const known = seen.get(id) ?? `#${seen.size + 1}`;
        seen.set(id, known);
        return known;
      }),
  );
}

/** The id of a draft or, in answers of earlier days, what was asked. */
const DRAFT = /(v1\|(?:[\w-]+\.working|batch\.keep)\|)[^"\\]+/g;

/** A line as it is compared: the id under which a draft is kept and the order of figures make no difference. */
const comparable = (line: string): string =>
  JSON.stringify(sorted(JSON.parse(line.replaceAll(DRAFT, '$1kept'))));

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).map(([name, inner]) => [name, sorted(inner)] as const);
  return Object.fromEntries(entries.sort(([one], [other]) => (one < other ? -1 : 1)));
}

async function corpus(): Promise<readonly string[]> {
  const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-corpus-'));
  try {
    await startBot({ dataDir, args: ['--demo', '--now', NOW, '/help'] }).finish();
    const answers: string[] = [];
    for (const part of CORPUS) answers.push(...(await answersOf(part, dataDir)));
    return normalised(answers, dataDir);
  } finally {
    await rm(dataDir, { recursive: true, force: true });
  }
}

if (file === undefined) {
  console.error('Name a file: npm run bench -- corpus FILE [compare]');
  process.exitCode = 2;
} else if (mode === 'compare') {
  const before = (await readFile(file, 'utf8')).trimEnd().split('\n').map(comparable);
  const after = (await corpus()).map(comparable);
  let differing = Math.abs(before.length - after.length);
  before.forEach((line, at) => {
    if (line === after[at]) return;
    differing++;
    console.log(`- ${line}\n+ ${after[at] ?? 'nothing'}\n`);
  });
  console.log(`${after.length} answers, ${differing} differ`);
  if (differing > 0) process.exitCode = 1;
} else {
  const answers = await corpus();
  await writeFile(file, `${answers.join('\n')}\n`);
  console.log(`${answers.length} answers written to ${file}`);
}
