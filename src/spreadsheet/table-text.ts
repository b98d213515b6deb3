import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';

/** Why a file cannot be read, in words for whoever named it. */
export class Unreadable extends Error {}

/** Opening a pipe would wait for somebody to write into it. */
const NOT_A_FILE = 'It is a pipe or a device. Save the table as a file, and name that.';
const SAVE_AS = 'Save the table as CSV, in UTF-8.';

/**
 * The text of a file, piece by piece, without its byte order mark. Each line ends in a line feed alone, whichever ends
 * the file has and wherever they are, so that lines are counted as a text editor counts them.
 * @throws Unreadable when it is not there or not text in UTF-8.
 */
export async function* textOf(file: string): AsyncGenerator<string, void, undefined> {
  const decode = utf8Decoder();
  let heldBack = '';
  for await (const bytes of bytesOf(file)) {
    const text = heldBack + decode(bytes);
    // A carriage return at the end may be the first half of a line end.
    heldBack = text.endsWith('\r') ? '\r' : '';
    const piece = withLineFeeds(text.slice(0, text.length - heldBack.length));
    if (piece !== '') yield piece;
  }
  const last = withLineFeeds(heldBack + decode());
  if (last !== '') yield last;
}

/** What follows a line of a file, the first being 1, until there are more than so many characters of it. */
export async function textAfterLine(file: string, line: number, enough: number): Promise<string> {
  let text = '';
  let toSkip = line;
  for await (const piece of textOf(file)) {
    let from = 0;
    for (; toSkip > 0 && from < piece.length; toSkip -= 1) {
      const end = piece.indexOf('\n', from);
      if (end === -1) break;
      from = end + 1;
    }
    if (toSkip === 0) text += piece.slice(from);
    if (text.length > enough) break;
  }
  return text;
}

/** How many lines a text goes on for after its first. */
export function lineFeeds(text: string): number {
  let count = 0;
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) count += 1;
  return count;
}

const withLineFeeds = (text: string): string => (text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text);

async function* bytesOf(file: string): AsyncGenerator<Buffer, void, undefined> {
  let isFirst = true;
  try {
    const found = await stat(file);
    if (!found.isFile() && !found.isDirectory()) throw new Unreadable(NOT_A_FILE);
    const stream: AsyncIterable<Buffer> = createReadStream(file);
    for await (const bytes of stream) {
      if (isFirst && isMarkedUtf16(bytes)) throw new Unreadable(`It is in UTF-16. ${SAVE_AS}`);
      if (bytes.includes(0)) throw new Unreadable(`It is not plain text. ${SAVE_AS}`);
      isFirst = false;
      yield bytes;
    }
  } catch (error) {
    throw readingProblem(error);
  }
}

const isMarkedUtf16 = ([first, second]: Buffer): boolean =>
  (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);

/** Decodes one piece after the other, a character that lies across two included; without a piece it was the last. */
function utf8Decoder(): (bytes?: Buffer) => string {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  return (bytes) => {
    try {
      return decoder.decode(bytes, { stream: bytes !== undefined });
    } catch {
      throw new Unreadable(`It is not in UTF-8. ${SAVE_AS}`);
    }
  };
}

function readingProblem(error: unknown): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT' || code === 'ENOTDIR') return new Unreadable('There is no such file.');
  if (code === 'EISDIR') return new Unreadable('It is a folder; name a file.');
  if (code === 'EACCES') return new Unreadable('It may not be read.');
  return error;
}
