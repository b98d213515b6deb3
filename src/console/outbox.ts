import type { Outbox } from '../chat/platform.js';
import { printOutcome } from './print.js';

/** Posts by writing to the terminal; nothing sent there can be looked up again. */
export function terminalOutbox(write: (text: string) => void): Outbox {
  const print = async (heading: string, ...rest: Parameters<typeof printOutcome>) =>
    write(`\n${heading}\n${await printOutcome(...rest)}\n`);
  return {
    async post({ channel, nonce, reply }) {
      await print(`#${channel}`, reply, async (picture) => picture.name);
      return { kind: 'posted', message: nonce };
    },
    find: async () => undefined,
    names: async (community, channel) => ({ community, channel }),
    async tellManagers(_community, reply) {
      await print('To whoever manages this community', reply, async (picture) => picture.name);
      return true;
    },
  };
}
