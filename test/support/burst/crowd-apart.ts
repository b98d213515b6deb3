import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Ask } from './asks.js';
import type { Crowd, CrowdSize } from './crowd.js';

export type Order = { readonly kind: 'hear' } | { readonly kind: 'ask'; readonly asks: readonly Ask[] };

const entry = fileURLToPath(new URL('crowd-process.mjs', import.meta.url));

/** A crowd in a process of its own, so that its work is not counted as the bot's. */
export async function openCrowdApart(size: CrowdSize): Promise<Crowd> {
  const child = spawn(process.execPath, [entry, JSON.stringify(size)], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const ended = new Promise((resolve) => child.once('close', resolve));
  const nextLine = async () => {
    const { done, value } = await lines.next();
    if (done) throw new Error('the crowd ended');
    return JSON.parse(value);
  };
  const carryOut = (order: Order) => {
    child.stdin.write(`${JSON.stringify(order)}\n`);
    return nextLine();
  };
  return {
    opened: await nextLine(),
    heard: () => carryOut({ kind: 'hear' }),
    ask: (asks) => carryOut({ kind: 'ask', asks }),
    async close() {
      child.stdin.end();
      await ended;
    },
  };
}
