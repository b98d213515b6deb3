import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
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
    await session.converse(next.value, ask);
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
