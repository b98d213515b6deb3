import { open, readFile } from 'node:fs/promises';
import { join } from 'node:path';

const LIMIT_BYTES = 1_000_000;
const TOLD_CHARACTERS = 200;

/** The file in a data folder where its Postgres writes down what it does. */
export const serverLogOf = (dataDir: string): string => join(dataDir, 'postgres.log');

export interface ServerLog {
  readonly fd: number;
  /** What Postgres has complained of since it was opened, without the time; undefined where it has not. */
  complaint(): Promise<string | undefined>;
  close(): Promise<void>;
}

/** Opens the file for more to be written to its end; a long one is begun anew. */
export async function openServerLog(dataDir: string): Promise<ServerLog> {
  const file = serverLogOf(dataDir);
  const log = await open(file, 'a', 0o600);
  if ((await log.stat()).size > LIMIT_BYTES) await log.truncate();
  const { size } = await log.stat();
  return {
    fd: log.fd,
    async complaint() {
      const content = await readFile(file).catch(() => Buffer.alloc(0));
      return complaintIn(content.toString('utf8', size));
    },
    close: () => log.close(),
  };
}

/** The first thing that Postgres or initdb gave up over, cut to a bearable length: what follows is its consequence. */
export function complaintIn(text: string): string | undefined {
  const lines = text.split('\n').filter((line) => !PASSING.test(line));
  const line =
    lines.find((one) => one.includes(NO_SPACE)) ??
    lines.find((one) => /\b(FATAL|PANIC|error):/.test(one)) ??
    lines.find((one) => one.includes('could not'));
  if (line === undefined) return undefined;
  const complaint = line.replace(/^.*?\b(?:FATAL|PANIC|ERROR|error):\s*/, '').trim();
  const isFull = text.includes('Check free disk space') && !complaint.includes(NO_SPACE);
  return complaint.slice(0, TOLD_CHARACTERS) + (isFull ? ' (is the disk full?)' : '');
}

const NO_SPACE = 'No space left on device';
/** Said to those who ask too early or too late. */
const PASSING = /FATAL:\s+(the database system is|terminating connection)/;
