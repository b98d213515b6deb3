import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';

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
