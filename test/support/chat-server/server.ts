import { createServer } from 'node:http';
import { conformanceCheck } from './conformance.js';
import { type Fault, faultQueue, type RequestKind } from './faults.js';
import { type Gateway, startGateway } from './gateway.js';
import type { Interaction } from './interactions.js';
import { type Member, type MemberKind, memberOf } from './member.js';
import { handleRest, type RestState } from './rest.js';
import { createWorld, type Guild, guildJson, type Message, type World } from './world.js';

export interface StandIn {
  /** What the client's option `rest.api` must be. */
  readonly api: string;
  readonly token: string;
  readonly world: World;
  addGuild(name: string, channels: readonly { readonly name: string; readonly denied?: bigint }[]): Guild;
  /** Takes the bot off a server. */
  removeGuild(guild: Guild): void;
  member(guild: Guild | undefined, name: string, how?: MemberKind): Member;
  /** What the bot wrote in a channel, oldest first, with what only one person can see. */
  messages(channelId: string): readonly Message[];
  /** Everything the bot sent that Discord would not have taken. */
  readonly violations: readonly string[];
  /** Throws when there was any. */
  expectConformant(): void;
  /** What happens to the next requests of a kind. */
  next(kind: RequestKind, ...faults: readonly Fault[]): void;
  nextCreateMessage(...faults: readonly Fault[]): void;
  /** Lets go of the faults that nothing has met yet. */
  forgetFaults(): void;
  /** How many requests of a kind there were. */
  requests(kind: RequestKind): number;
  /** How many of them met a fault. */
  faultsMet(kind: RequestKind): number;
  /** Resolves at the request of a kind that makes it so many more from now. */
  arrived(kind: RequestKind, more?: number): Promise<void>;
  /** Every interaction that was sent to the bot, and what it made of it. */
  interactions(): readonly Interaction[];
  /** Takes the bot's token for wrong in so many requests that carry it, or from now on. */
  refuseToken(times: number | 'for good'): void;
  /** As some minutes do: from now on nothing that was sent is known by its nonce. */
  forgetNonces(): void;
  readonly gateway: Pick<
    Gateway,
    | 'cut'
    | 'askToReconnect'
    | 'invalidate'
    | 'closeWith'
    | 'wantShards'
    | 'dispatch'
    | 'counts'
    | 'identified'
  >;
  close(): Promise<void>;
}

export interface StandInOptions {
  /** How many shards a bot is told to use, and must use at the least. */
  readonly shards?: number;
  /** How many shards may identify side by side (Gateway › Session Start Limit Object); all unless said. */
  readonly maxConcurrency?: number;
  /** Whether bodies are held against Discord's description of them, which takes longer than all else here. */
  readonly validates?: boolean;
}

/** Starts a server on loopback that speaks as much of Discord's API v10 as the bot and its client need. */
export async function startStandIn({
  shards = 1,
  maxConcurrency = shards,
  validates = true,
}: StandInOptions = {}): Promise<StandIn> {
  const world = createWorld();
  const token = 'stand.in.token';
  const interactions = new Map<string, Interaction>();
  const violations: string[] = [];
  const faults = faultQueue();
  const requested = new Map<RequestKind, number>();
  const faulty = new Map<RequestKind, number>();
  const awaited: { readonly kind: RequestKind; readonly at: number; readonly reached: () => void }[] = [];
  let refusals = 0;
  let port = 0;
  const gatewayUrl = () => `ws://127.0.0.1:${port}/gateway`;
  const state: RestState = {
    world,
    token,
    interactions,
    violations,
    check: validates ? conformanceCheck() : () => [],
    faults,
    onRequest(kind, fault) {
      const count = (requested.get(kind) ?? 0) + 1;
      requested.set(kind, count);
      if (fault !== undefined) faulty.set(kind, (faulty.get(kind) ?? 0) + 1);
      for (const one of awaited) if (one.kind === kind && one.at === count) one.reached();
    },
    isTokenTaken: () => refusals === 0 || refusals-- <= 0,
    gatewayInfo: { shards: () => gateway.shardsWanted(), maxConcurrency },
    gatewayUrl,
  };
  const server = createServer((request, response) => {
    handleRest(state, request, response).catch((error: unknown) => {
      violations.push(`the stand-in itself failed: ${String(error)}`);
      response.destroy();
    });
  });
  const gateway = startGateway(server, world, {
    token,
    shards,
    url: gatewayUrl,
    isTokenTaken: () => refusals !== Number.POSITIVE_INFINITY,
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  port = address.port;

  return {
    api: `http://127.0.0.1:${port}/api`,
    token,
    world,
    addGuild(name, channels) {
      const guild = world.addGuild(name, channels);
      gateway.dispatch('GUILD_CREATE', guildJson(guild, world.bot), guild.id);
      return guild;
    },
    removeGuild({ id }) {
      world.guilds.delete(id);
      gateway.dispatch('GUILD_DELETE', { id }, id);
    },
    member: (guild, name, how = {}) =>
      memberOf({ world, gateway, interactions }, world.addUser(name, how.roles), guild, how.manages ?? false),
    messages: (channelId) => world.messages.filter((message) => message.channelId === channelId),
    violations,
    expectConformant() {
      if (violations.length > 0) throw new Error(`Discord would not have taken:\n${violations.join('\n')}`);
    },
    next: (kind, ...some) => faults.next(kind, ...some),
    nextCreateMessage: (...some) => faults.next('message', ...some),
    forgetFaults: () => faults.forget(),
    requests: (kind) => requested.get(kind) ?? 0,
    faultsMet: (kind) => faulty.get(kind) ?? 0,
    arrived: (kind, more = 1) =>
      new Promise((reached) => awaited.push({ kind, at: (requested.get(kind) ?? 0) + more, reached })),
    interactions: () => [...interactions.values()],
    refuseToken(times) {
      refusals = times === 'for good' ? Number.POSITIVE_INFINITY : times;
    },
    forgetNonces() {
      for (const message of world.messages) message.nonce = undefined;
    },
    gateway,
    async close() {
      await gateway.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
