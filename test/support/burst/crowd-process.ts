import { createInterface } from 'node:readline';
import { openCrowd } from './crowd.js';
import type { Order } from './crowd-apart.js';

const crowd = await openCrowd(JSON.parse(process.argv[2] ?? '{}'));
const say = (what: unknown): boolean => process.stdout.write(`${JSON.stringify(what ?? null)}\n`);
say(crowd.opened);
for await (const line of createInterface({ input: process.stdin })) {
  const order: Order = JSON.parse(line);
  say(await (order.kind === 'hear' ? crowd.heard() : crowd.ask(order.asks)));
}
await crowd.close();
