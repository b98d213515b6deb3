import type { Server } from 'node:http';
import { type WebSocket, WebSocketServer } from 'ws';
import { guildJson, type Json, userJson, type World } from './world.js';

/** Gateway opcodes and close codes (Discord, Gateway Events; Opcodes and Status Codes). */
const Op = {
  dispatch: 0,
  heartbeat: 1,
  identify: 2,
  resume: 6,
  reconnect: 7,
  invalidSession: 9,
  hello: 10,
  heartbeatAck: 11,
} as const;
const AUTHENTICATION_FAILED = 4004;
const INVALID_SHARD = 4010;
const SHARDING_REQUIRED = 4011;
const DISALLOWED_INTENTS = 4014;
/** Members, presences and message content: only for applications that were granted them (Gateway Intents). */
const PRIVILEGED = (1 << 1) | (1 << 8) | (1 << 15);
const HEARTBEAT_MS = 41_250;

export interface Gateway {
  /** Sends an event of a server, or of direct messages, to the session of the shard that they belong to. */
  dispatch(event: string, data: Json, guildId?: string): void;
  /** Cuts every connection without a word. */
  cut(): void;
  /** Asks every client to connect again. */
  askToReconnect(): void;
  /** Tells every client that its session is gone. */
  invalidate(): void;
  /** Closes every connection with a code. */
  closeWith(code: number): void;
  /** From the next time that a client identifies itself it must have so many shards at the least. */
  wantShards(least: number): void;
  shardsWanted(): number;
  /** How often a client identified itself, and how often it resumed. */
  readonly counts: { identified: number; resumed: number };
  /** Who identified when: the shard and the number of shards that it named, and the moment in milliseconds. */
  readonly identified: readonly { readonly shard: Shard; readonly at: number }[];
  close(): Promise<void>;
}

export interface GatewayOptions {
  readonly token: string;
  /** The fewest shards that a bot on so many servers must have, to begin with. */
  readonly shards: number;
  url(): string;
  isTokenTaken(): boolean;
}

type Shard = readonly [id: number, count: number];

interface Session {
  readonly id: string;
  readonly shard: Shard;
  socket: WebSocket | undefined;
  sequence: number;
  readonly events: { readonly sequence: number; readonly frame: string }[];
}

export function startGateway(server: Server, world: World, options: GatewayOptions): Gateway {
  const { token, url } = options;
  const sockets = new WebSocketServer({ server, path: '/gateway' });
  const sessions = new Map<string, Session>();
  const counts = { identified: 0, resumed: 0 };
  let shardsWanted = options.shards;
  const identified: { readonly shard: Shard; readonly at: number }[] = [];

  const send = (socket: WebSocket, op: number, d: unknown): void =>
    socket.send(JSON.stringify({ op, d, s: null, t: null }));

  function dispatchTo(session: Session, t: string, d: unknown): void {
    session.sequence++;
    const frame = JSON.stringify({ op: Op.dispatch, t, s: session.sequence, d });
    session.events.push({ sequence: session.sequence, frame });
    session.socket?.send(frame);
  }

  function identify(socket: WebSocket, data: Json): void {
    if (data.token !== token || !options.isTokenTaken())
      return socket.close(AUTHENTICATION_FAILED, 'Authentication failed.');
    if ((Number(data.intents) & PRIVILEGED) !== 0)
      return socket.close(DISALLOWED_INTENTS, 'Disallowed intent(s).');
    const shard = shardOf(data);
    const [id, count] = shard;
    if (!(id >= 0 && id < count)) return socket.close(INVALID_SHARD, 'Invalid shard.');
    if (count < shardsWanted) return socket.close(SHARDING_REQUIRED, 'Sharding required.');
    counts.identified++;
    identified.push({ shard, at: Date.now() });
    const session: Session = { id: `session-${counts.identified}`, shard, socket, sequence: 0, events: [] };
    sessions.set(session.id, session);
    socket.on('close', () => {
      if (session.socket === socket) session.socket = undefined;
    });
    const guilds = [...world.guilds.values()].filter((guild) => isOf(guild.id, shard));
    dispatchTo(session, 'READY', {
      v: 10,
      user: userJson(world.bot),
      guilds: guilds.map((guild) => ({ id: guild.id, unavailable: true })),
      session_id: session.id,
      resume_gateway_url: url(),
      application: { id: world.applicationId, flags: 0 },
      session_type: 'normal',
      private_channels: [],
      shard,
    });
    for (const guild of guilds) dispatchTo(session, 'GUILD_CREATE', guildJson(guild, world.bot));
  }

  function resume(socket: WebSocket, data: Json): void {
    const session = sessions.get(String(data.session_id));
    if (!session || data.token !== token) return send(socket, Op.invalidSession, false);
    counts.resumed++;
    session.socket = socket;
    socket.on('close', () => {
      if (session.socket === socket) session.socket = undefined;
    });
    const seen = Number(data.seq);
    for (const { sequence, frame } of session.events) if (sequence > seen) socket.send(frame);
    dispatchTo(session, 'RESUMED', {});
  }

  sockets.on('connection', (socket) => {
    send(socket, Op.hello, { heartbeat_interval: HEARTBEAT_MS });
    socket.on('message', (raw) => {
      const { op, d }: { op: number; d: Json } = JSON.parse(String(raw));
      if (op === Op.heartbeat) send(socket, Op.heartbeatAck, null);
      else if (op === Op.identify) identify(socket, d);
      else if (op === Op.resume) resume(socket, d);
    });
  });

  const open = () => [...sessions.values()].filter((session) => session.socket !== undefined);
  return {
    counts,
    identified,
    dispatch(event, data, guildId) {
      // Like Discord, to one shard's session; those that are cut off get it when they resume.
      const latest = [...sessions.values()].findLast(({ shard }) => isOf(guildId, shard));
      if (latest) dispatchTo(latest, event, data);
    },
    cut() {
      for (const client of sockets.clients) client.terminate();
    },
    askToReconnect() {
      for (const { socket } of open()) if (socket) send(socket, Op.reconnect, null);
    },
    invalidate() {
      for (const session of open()) {
        sessions.delete(session.id);
        if (session.socket) send(session.socket, Op.invalidSession, false);
      }
    },
    closeWith(code) {
      for (const client of sockets.clients) client.close(code);
    },
    wantShards(least) {
      shardsWanted = least;
    },
    shardsWanted: () => shardsWanted,
    async close() {
      for (const client of sockets.clients) client.terminate();
      await new Promise((resolve) => sockets.close(resolve));
    },
  };
}

/** The shard that an IDENTIFY names; the only one where it names none. */
function shardOf({ shard }: Json): Shard {
  return Array.isArray(shard) ? [Number(shard[0]), Number(shard[1])] : [0, 1];
}

/** Gateway › Sharding Formula; direct messages come on the first shard. */
const isOf = (guildId: string | undefined, [id, count]: Shard): boolean =>
  guildId === undefined ? id === 0 : Number((BigInt(guildId) >> 22n) % BigInt(count)) === id;
