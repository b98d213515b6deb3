import type { Reply } from '../../src/chat/reply.js';
import { printOutcome } from '../../src/console/print.js';

const PHONE_COLUMNS = 42;

/** How long a printed reply is without its buttons: its words, and its lines on a phone of 42 characters. */
export async function spokenLength(
  reply: Reply,
): Promise<{ readonly words: number; readonly phoneLines: number }> {
  const printed = await printOutcome({ ...reply, actions: [] }, async () => '');
  const lines = printed.trimEnd().split('\n');
  return {
    words: printed.split(/\s+/).filter(Boolean).length,
    phoneLines: lines.reduce(
      (sum, line) => sum + Math.max(1, Math.ceil(line.trim().length / PHONE_COLUMNS)),
      0,
    ),
  };
}
