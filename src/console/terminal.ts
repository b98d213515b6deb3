import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import type { Picture } from '../chat/reply.js';
import type { Met, Session } from './session.js';

/** What the process ends with: the gravest of its lines. */
const STATUS = { answered: 0, refused: 1, fault: 2 } as const satisfies Record<Met, number>;

/** Answers each line; resolves to the status to exit with. */
export async function answerAll(
  session: Session,
  lines: Iterable<string> | AsyncIterable<string> = createInterface({ input: process.stdin }),
): Promise<number> {
  let status = 0;
  for await (const line of lines) status = Math.max(status, STATUS[await session.answer(line)]);
  return status;
}

/** Talks with the person at the terminal until they end it; resolves to the status to exit with. */
export async function converseInTerminal(session: Session): Promise<number> {
  process.stdout.write('Type a command, /help for all of them, Ctrl-D to end.\n');
  const terminal = createInterface({ input: process.stdin, output: process.stdout, prompt: '> ' });
  const lines = terminal[Symbol.asyncIterator]();
  const ask = async (question: string): Promise<string> => {
    process.stdout.write(question);
    const next = await lines.next();
    return next.done ? '' : next.value;
  };
  terminal.prompt();
  for (;;) {
    const next = await lines.next();
    if (next.done) return 0;
    await session.answer(next.value, ask);
    terminal.prompt();
  }
}

/**
 * The real clock, or one that was set to `start` when the bot started. It goes on in a conversation; for lines it stands
 * still, so that all of them are answered as of that moment.
 */
export function clockFrom(start: Date | undefined, goesOn: boolean): () => Date {
  if (start === undefined) return () => new Date();
  if (!goesOn) return () => start;
  const shift = start.getTime() - Date.now();
  return () => new Date(Date.now() + shift);
}

/** Writes a picture into a data folder; resolves to the file. */
export async function savePicture(dataDir: string, picture: Picture): Promise<string> {
  const folder = join(dataDir, 'pictures');
  await mkdir(folder, { recursive: true });
  const file = join(folder, picture.name);
  await writeFile(file, picture.png);
  return file;
}

/** Long for whoever pipes lines in, short for whoever left an input open that says nothing. */
const FIRST_LINE_WAIT_MS = 1000;

/** The lines of an input that may have none; undefined when it ends without one, or none comes within a second. */
export async function pipedLines(input: Readable): Promise<AsyncIterable<string> | undefined> {
  const reader = createInterface({ input });
  const lines = reader[Symbol.asyncIterator]();
  let timer: NodeJS.Timeout | undefined;
  const tooLate = new Promise<undefined>((resolve) => {
    timer = setTimeout(resolve, FIRST_LINE_WAIT_MS, undefined);
  });
  const first = await Promise.race([lines.next(), tooLate]);
  clearTimeout(timer);
  if (first !== undefined && !first.done) return startingWith(first.value, lines);
  reader.close();
  return undefined;
}

async function* startingWith(first: string, rest: AsyncIterator<string>): AsyncGenerator<string, void> {
  yield first;
  for (let next = await rest.next(); !next.done; next = await rest.next()) yield next.value;
}
