import { setTimeout as pause } from 'node:timers/promises';
import type { Answer, Member } from '../chat-server/member.js';
import { startStandIn } from '../chat-server/server.js';
import { type Ask, type AskKind, act } from './asks.js';

/** How one thing that was asked went, with the times that the member waited. */
export interface Told {
  readonly kind: AskKind;
  readonly guild: number;
  /** When, counted from the first that was asked. */
  readonly askedMs: number;
  readonly how: 'answered' | 'refused' | 'failed' | 'nothing';
  /** The title, or why there is none. */
  readonly said: string;
  readonly deferred: boolean;
  /** Until the first sign of an answer, and until the answer. */
  readonly acknowledgedMs: number;
  readonly answeredMs: number;
}

export interface Opened {
  readonly api: string;
  readonly token: string;
  readonly guilds: readonly { readonly id: string; readonly channel: string }[];
}

/** The members of many servers, and the server that they and the bot talk over. */
export interface Crowd {
  readonly opened: Opened;
  /** Resolves once the bot has registered its commands. */
  heard(): Promise<void>;
  /** Asks each thing at its time, and waits until all have been answered or given up. */
  ask(asks: readonly Ask[]): Promise<readonly Told[]>;
  close(): Promise<void>;
}

export interface CrowdSize {
  readonly guilds: number;
  readonly membersEach: number;
}

/** Bodies are not validated: that would take longer than the bot does. */
export async function openCrowd(size: CrowdSize): Promise<Crowd> {
  const standin = await startStandIn({ validates: false });
  const guilds = Array.from({ length: size.guilds }, (_, at) =>
    standin.addGuild(`Lane ${at}`, [{ name: 'fat' }]),
  );
  const members = guilds.map((guild) =>
    Array.from({ length: size.membersEach }, (_, at) => standin.member(guild, `Cook ${at}`)),
  );
  const earlier = new Map<Member, Answer>();

  async function tell({ kind, guild, member: at, atMs }: Ask): Promise<Told> {
    const member = members[guild]?.[at];
    if (member === undefined) throw new Error(`there is no member ${at} of server ${guild}`);
    const started = performance.now();
    const told = (how: Told['how'], said: string, answer?: Answer): Told => ({
      kind,
      guild,
      askedMs: atMs,
      how,
      said,
      deferred: answer?.deferred ?? false,
      acknowledgedMs: answer?.answeredAfterMs ?? performance.now() - started,
      answeredMs: performance.now() - started,
    });
    try {
      const answer = await act(kind, member, earlier.get(member));
      if (!('text' in answer)) return told('answered', '');
      if (kind === '/water' && answer.buttons.length > 0) earlier.set(member, answer);
      const title = String(answer.embeds[0]?.title ?? '');
      return told(howMet(title), title, answer);
    } catch (error) {
      return told('nothing', error instanceof Error ? error.message : String(error));
    }
  }

  return {
    opened: {
      api: standin.api,
      token: standin.token,
      guilds: guilds.map((guild) => ({ id: guild.id, channel: guild.channel('fat').id })),
    },
    async heard() {
      while (standin.world.commands.length === 0) await pause(100);
    },
    async ask(asks) {
      const start = performance.now();
      const underWay: Promise<Told>[] = [];
      for (const ask of asks) {
        const wait = start + ask.atMs - performance.now();
        if (wait > 0) await pause(wait);
        underWay.push(tell(ask));
      }
      return Promise.all(underWay);
    },
    close: () => standin.close(),
  };
}

/** The titles are those of `src/chat/fault.ts` and of a refusal for asking too much. */
function howMet(title: string): Told['how'] {
  if (/went wrong|Busy just now|out of reach|not sure/.test(title)) return 'failed';
  return /^(A little slower, please|Much is asked here just now)$/.test(title) ? 'refused' : 'answered';
}
