import pino from 'pino';
import { afterEach, beforeEach, vi } from 'vitest';
import type { Command } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { type DiscordAdapter, startDiscord } from '../../src/discord/adapter.js';
import type { Member } from '../support/chat-server/member.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
import { smallCommands } from './small-commands.js';

/** A fresh stand-in server for each test, with one server on it, a member, and the adapters that are started. */
export interface Stage {
  readonly standin: StandIn;
  readonly guild: Guild;
  readonly alice: Member;
  /** What was reported as ours to mend, or as the end of the connection. */
  readonly faults: readonly unknown[];
  /** Everything that was logged, by a logger that hides nothing. */
  readonly log: readonly string[];
  start(how?: StartOptions): Promise<DiscordAdapter>;
}

export interface StartOptions {
  readonly commands?: readonly Command[];
  readonly token?: string;
  /** Whether to wait until Discord knows the commands; it does unless said otherwise. */
  readonly isPatient?: boolean;
}

/** To be called once in a test file; `stage()` is then the stage of the running test. */
export function setStage(): () => Stage {
  let stage: Stage | undefined;
  let adapters: DiscordAdapter[] = [];
  beforeEach(async () => {
    adapters = [];
    stage = await openStage(adapters);
  });
  afterEach(async () => {
    for (const adapter of adapters) await adapter.stop();
    await stage?.standin.close();
  });
  return () => {
    if (!stage) throw new Error('the stage is set before each test');
    return stage;
  };
}

/** A stage for one test that runs beside others. */
export async function onStage(play: (stage: Stage) => Promise<void>): Promise<void> {
  const adapters: DiscordAdapter[] = [];
  const stage = await openStage(adapters);
  try {
    await play(stage);
  } finally {
    for (const adapter of adapters) await adapter.stop();
    await stage.standin.close();
  }
}

const SEND_MESSAGES = 1n << 11n;
const ATTACH_FILES = 1n << 15n;

async function openStage(adapters: DiscordAdapter[]): Promise<Stage> {
  const standin = await startStandIn();
  const guild = standin.addGuild('Ember Lane', [
    { name: 'rendering' },
    { name: 'shut', denied: SEND_MESSAGES | ATTACH_FILES },
    { name: 'gone' },
  ]);
  const faults: unknown[] = [];
  const log: string[] = [];
  const timesKnown = () => log.filter((line) => line.includes('Discord knows the commands')).length;
  return {
    standin,
    guild,
    alice: standin.member(guild, 'Alice'),
    faults,
    log,
    async start({ commands = smallCommands, token = standin.token, isPatient = true } = {}) {
      const knownBefore = timesKnown();
      const adapter = await startDiscord({
        token,
        api: standin.api,
        conversation: converse(commands, (error) => faults.push(error)),
        log: pino({ level: 'trace' }, { write: (line: string) => void log.push(line) }),
        clock: () => new Date(),
        fatal: (reason) => faults.push(reason),
      });
      adapters.push(adapter);
      if (isPatient) await vi.waitUntil(() => timesKnown() > knownBefore, { timeout: 10_000 });
      return adapter;
    },
  };
}
