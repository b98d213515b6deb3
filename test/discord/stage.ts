import pino from 'pino';
import { afterEach, beforeEach, vi } from 'vitest';
import type { Command } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { type DiscordFace, startDiscord } from '../../src/discord/face.js';
import type { Member } from '../support/chat-server/member.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
import { smallCommands } from './small-commands.js';

/** A fresh stand-in server for each test, with one server on it, a member, and the faces that are started. */
export interface Stage {
  readonly standin: StandIn;
  readonly guild: Guild;
  readonly alice: Member;
  /** What was reported as ours to mend, or as the end of the connection. */
  readonly faults: readonly unknown[];
  /** Everything that was logged, by a logger that hides nothing. */
  readonly log: readonly string[];
  start(how?: StartOptions): Promise<DiscordFace>;
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
  let faces: DiscordFace[] = [];
  beforeEach(async () => {
    faces = [];
    stage = await openStage(faces);
  });
  afterEach(async () => {
    for (const face of faces) await face.stop();
    await stage?.standin.close();
  });
  return () => {
    if (!stage) throw new Error('the stage is set before each test');
    return stage;
  };
}

/** A stage for one test that runs beside others. */
export async function onStage(play: (stage: Stage) => Promise<void>): Promise<void> {
  const faces: DiscordFace[] = [];
  const stage = await openStage(faces);
  try {
    await play(stage);
  } finally {
    for (const face of faces) await face.stop();
    await stage.standin.close();
  }
}

const SEND_MESSAGES = 1n << 11n;
const ATTACH_FILES = 1n << 15n;

async function openStage(faces: DiscordFace[]): Promise<Stage> {
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
      const face = await startDiscord({
        token,
        api: standin.api,
        conversation: converse(commands, (error) => faults.push(error)),
        log: pino({ level: 'trace' }, { write: (line: string) => void log.push(line) }),
        clock: () => new Date(),
        fatal: (reason) => faults.push(reason),
      });
      faces.push(face);
      if (isPatient) await vi.waitUntil(() => timesKnown() > knownBefore, { timeout: 10_000 });
      return face;
    },
  };
}
