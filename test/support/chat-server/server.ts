import { createServer } from 'node:http';
import { conformanceCheck } from './conformance.js';
import { startGateway } from './gateway.js';
import type { Interaction } from './interactions.js';
import { type Member, memberOf } from './member.js';
import { handleRest, type MessageFault, type RestState } from './rest.js';
import { createWorld, type Guild, guildJson, type Message, type World } from './world.js';

export interface StandIn {
  /** What the client's option `rest.api` must be. */
  readonly api: string;
  readonly token: string;
  readonly world: World;
  addGuild(name: string, channels: readonly { readonly name: string; readonly denied?: bigint }[]): Guild;
  member(guild: Guild | undefined, name: string, how?: { readonly manages?: boolean }): Member;
  /** What the bot wrote in a channel, oldest first, with what only one person can see. */
  messages(channelId: string): readonly Message[];
  /** Everything the bot sent that Discord would not have taken. */
  readonly violations: readonly string[];
  /** Throws when there was any. */
  expectConformant(): void;
  nextCreateMessage(...faults: readonly MessageFault[]): void;
  readonly createMessage: {
    /** Resolves at the request that makes it so many more from now. */
    requests(more: number): Promise<void>;
    /** Lets go of the faults that nothing has met yet. */
    forgetFaults(): void;
    readonly counts: { readonly requested: number; readonly faulty: number };
  };
  /** As some minutes do: from now on nothing that was sent is known by its nonce. */
  forgetNonces(): void;
  readonly gateway: {
    cut(): void;
    askToReconnect(): void;
    invalidate(): void;
    readonly counts: { readonly identified: number; readonly resumed: number };
  };
  close(): Promise<void>;
}

/** Starts a server on loopback that speaks as much of Discord's API v10 as the bot and its client need. */
export async function startStandIn(): Promise<StandIn> {
  const world = createWorld();
  const token = 'stand.in.token';
  const interactions = new Map<string, Interaction>();
  const violations: string[] = [];
  const messageFaults: MessageFault[] = [];
  const counts = { requested: 0, faulty: 0 };
  const awaited: { readonly at: number; readonly reached: () => void }[] = [];
  let port = 0;
  const gatewayUrl = () => `ws://127.0.0.1:${port}/gateway`;
  const state: RestState = {
    world,
    token,
    interactions,
    violations,
    check: conformanceCheck(),
    messageFaults,
    onCreateMessage(fault) {
      counts.requested++;
      if (fault !== undefined) counts.faulty++;
      for (const { at, reached } of awaited) if (at === counts.requested) reached();
    },
    gatewayUrl,
  };
  const server = createServer((request, response) => {
    handleRest(state, request, response).catch((error: unknown) => {
      violations.push(`the stand-in itself failed: ${String(error)}`);
      response.destroy();
    });
  });
  const gateway = startGateway(server, world, token, gatewayUrl);
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
      gateway.dispatch('GUILD_CREATE', guildJson(guild, world.bot));
      return guild;
    },
    member: (guild, name, how = {}) =>
      memberOf({ world, gateway, interactions }, world.addUser(name), guild, how.manages ?? false),
    messages: (channelId) => world.messages.filter((message) => message.channelId === channelId),
    violations,
    expectConformant() {
      if (violations.length > 0) throw new Error(`Discord would not have taken:\n${violations.join('\n')}`);
    },
    nextCreateMessage: (...faults) => messageFaults.push(...faults),
    createMessage: {
      requests: (more) => new Promise((reached) => awaited.push({ at: counts.requested + more, reached })),
      forgetFaults: () => void messageFaults.splice(0),
      counts,
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
