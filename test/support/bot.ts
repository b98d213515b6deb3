import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const start = fileURLToPath(new URL('../../src/start.mjs', import.meta.url));

export interface Answer {
  readonly command: string;
  readonly ok: boolean;
  readonly reply?: {
    readonly title: string;
    readonly figures: Readonly<Record<string, number>>;
    readonly actions: readonly string[];
  };
  readonly refusal?: { readonly title: string; readonly text: string };
  readonly fault?: { readonly title: string; readonly text: string; readonly reference: string };
}

export interface Bot {
  readonly process: ChildProcess;
  /** Types one line and waits for its answer. */
  say(line: string): Promise<Answer>;
  /** What it wrote on standard error so far. */
  said(): string;
  /** Ends it as a crash would. */
  kill(): Promise<void>;
  /** Waits for it to end by itself. */
  ended(): Promise<{ readonly code: number | null; readonly said: string }>;
  /** Closes its input and waits for it to end by itself. */
  finish(): Promise<{ readonly code: number | null; readonly said: string }>;
}

export interface BotOptions {
  readonly dataDir?: string;
  readonly args?: readonly string[];
  readonly env?: Readonly<Record<string, string>>;
  /** The bot itself, without what `npm start` puts around it on Discord. */
  readonly isBare?: boolean;
  readonly uid?: number;
  readonly gid?: number;
  /** Another checkout to start. */
  readonly script?: string;
}

/** A test that fails may leave its bots behind. */
const running = new Set<ChildProcess>();
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

let isBuilt = false;

function builtMain(): string {
  // Whatever it is asked, it builds first.
  if (!isBuilt) spawnSync(process.execPath, [start, '--help'], { stdio: 'ignore' });
  isBuilt = true;
  return fileURLToPath(new URL('../../dist/src/main.js', import.meta.url));
}

/** The bot as a process of its own, talking JSON over its standard input and output. */
export function startBot(options: BotOptions): Bot {
  const {
    DATABASE_URL: _url,
    DISCORD_TOKEN: _token,
    DATA_DIR: _dir,
    DATABASE_SSL: _ssl,
    ...inherited
  } = process.env;
  const child = spawn(
    process.execPath,
    [
      options.script ?? (options.isBare ? builtMain() : start),
      ...(options.dataDir === undefined ? [] : ['--data', options.dataDir]),
      '--json',
      ...(options.args ?? []),
    ],
    {
      env: { ...inherited, ...options.env },
      stdio: ['pipe', 'pipe', 'pipe'],
      ...(options.uid === undefined ? {} : { uid: options.uid }),
      ...(options.gid === undefined ? {} : { gid: options.gid }),
    },
  );
  running.add(child);
  child.once('exit', () => running.delete(child));
  let said = '';
  child.stderr.on('data', (chunk) => {
    said += String(chunk);
  });
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  const answers = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  child.stdin.on('error', () => {});

  return {
    process: child,
    async say(line) {
      child.stdin.write(`${line}\n`);
      const next = await answers.next();
      if (next.done) throw new Error(`the bot ended without an answer: ${said}`);
      return JSON.parse(next.value);
    },
    said: () => said,
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
    ended: async () => ({ code: await ended, said }),
    async finish() {
      child.stdin.end();
      return { code: await ended, said };
    },
  };
}
