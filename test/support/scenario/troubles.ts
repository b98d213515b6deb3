import { setTimeout as pause } from 'node:timers/promises';
import { openRecords, type Records } from '../../../src/records/database.js';
import type { Fault, RequestKind } from '../chat-server/faults.js';
import type { StandIn } from '../chat-server/server.js';
import type { Channel, Guild } from '../chat-server/world.js';
import { giveUpClaims, makePostsDue } from '../due-posts.js';
import type { Random } from '../hostile/random.js';
import type { TroubledPostgres } from '../troubled-postgres.js';
import { type Fleet, shardOf } from './fleet.js';

export interface Stage {
  readonly standin: StandIn;
  readonly postgres: TroubledPostgres;
  readonly fleet: Fleet;
  readonly random: Random;
  /** Servers whose weekly post is not due yet. */
  readonly quiet: Guild[];
  readonly count: (name: string, times: number) => void;
}

/** Something that happens while people ask. */
export interface Trouble {
  readonly name: string;
  /** How often it happened. */
  happen(stage: Stage): Promise<number>;
}

/** Something that happens to one of the posts which are due when a process starts. */
interface PostTrouble {
  readonly name: string;
  /** Its faults are counted one by one. */
  readonly isFaults?: boolean;
  before?(stage: Stage, channel: Channel | undefined): void;
  after?(stage: Stage): void;
}

const ATTACH_FILES = 1n << 15n;
/** A code that Discord's list of them does not have. */
const UNLISTED = { status: 403, code: 999_999 };
const DROPS: readonly Fault[] = ['drop-before', 'drop-during', 'drop-after'];
/** Posts are made at low priority, which takes long where the machine is busy. */
const LONGEST_POST_MS = 60_000;
/** For what was refused to be sent again at once. */
const RETRY_MS = 500;
/** What waits for a locked table longer than 1.5 s is answered with a waiting notice first, longer than `LOCK_SECONDS` not. */
const LONG_MS = 2100;
const TOO_LONG_MS = 3600;

/** Limits to the database, short so that all of them are met, and not so short that nothing needs a waiting notice. */
export const LIMITS = {
  DATABASE_WAIT_SECONDS: '2.5',
  DATABASE_CONNECT_SECONDS: '1',
  DATABASE_STATEMENT_SECONDS: '4',
  DATABASE_LOCK_SECONDS: '2.5',
  DATABASE_IDLE_SECONDS: '1',
};

const database = (name: string, happen: (postgres: TroubledPostgres) => Promise<unknown>): Trouble => ({
  name: `database: ${name}`,
  async happen({ postgres }) {
    await happen(postgres);
    return 1;
  },
});

const gateway = (name: string, happen: (stage: Stage) => unknown): Trouble => ({
  name: `gateway: ${name}`,
  async happen(stage) {
    await happen(stage);
    await pause(1000);
    return 1;
  },
});

/** The next answers meet the faults; how many did. */
const answers = (name: string, kinds: readonly RequestKind[], faults: readonly Fault[]): Trouble => ({
  name: `answers: ${name}`,
  happen: (stage) => meet(stage, kinds, faults, () => pause(1200)),
});

/** The same of waiting notices, which a locked table makes necessary. */
const notices = (name: string, faults: readonly Fault[]): Trouble => ({
  name: `waiting notices: ${name}`,
  happen: (stage) => meet(stage, ['waiting notice'], faults, () => stage.postgres.hold('batches', LONG_MS)),
});

async function meet(
  { standin, random }: Stage,
  kinds: readonly RequestKind[],
  faults: readonly Fault[],
  meanwhile: () => Promise<unknown>,
): Promise<number> {
  const met = () => kinds.reduce((sum, kind) => sum + standin.faultsMet(kind), 0);
  const before = met();
  for (const kind of kinds) standin.next(kind, ...shuffled(faults, random));
  await meanwhile();
  standin.forgetFaults();
  return met() - before;
}

/** Processes end, the next posts fall due and meet what they have to, and the processes come back. */
const restart = (
  name: string,
  end: (stage: Stage, shard: number) => Promise<readonly number[]>,
): Trouble => ({
  name: `process: ${name}`,
  async happen(stage) {
    const ended = await end(stage, stage.random.pick(stage.fleet.shards));
    await comeBack(stage, ended);
    return ended.length;
  },
});

async function comeBack(stage: Stage, shards: readonly number[]): Promise<void> {
  const { standin, fleet, quiet, postgres, count } = stage;
  const places = quiet.splice(0, POST_TROUBLES.length).map(placeOf);
  await withRecords(postgres, (db) => makePostsDue(db, standin.world.applicationId, places));
  const channels = places.flatMap(({ channel }) => standin.world.channels.get(channel) ?? []);
  const met = POST_TROUBLES.slice(0, channels.length);
  const allAsked = standin.arrived('message', channels.length);
  const faultsBefore = standin.faultsMet('message');
  for (const [at, { before }] of met.entries()) before?.(stage, channels[at]);
  await Promise.all(shards.map((shard) => fleet.start(shard)));
  for (const { after } of met) after?.(stage);
  if (channels.length > 0) {
    await Promise.race([allAsked, pause(LONGEST_POST_MS)]);
    await pause(RETRY_MS);
  }
  for (const channel of channels) channel.refusal = undefined;
  const faults = standin.faultsMet('message') - faultsBefore;
  for (const { name, isFaults } of met) count(name, isFaults ? faults : 1);
}

/** A press of a button whose message Discord left out: nothing that it sends today, and nothing that the client can read. */
function sendUnreadable({ standin }: Stage, shard: number): void {
  const guild = [...standin.world.guilds.keys()].find((id) => shardOf(id) === shard);
  const data = { component_type: 2, custom_id: 'v1|safety.report' };
  const base = { id: standin.world.newId(), token: 'token', type: 3, version: 1, data };
  standin.gateway.dispatch(
    'INTERACTION_CREATE',
    { ...base, application_id: standin.world.applicationId },
    guild,
  );
}

export const TROUBLES: readonly Trouble[] = [
  database('connections ended, eight times', async (postgres) => {
    for (let times = 0; times < 8; times++) {
      await postgres.endConnections();
      await pause(100);
    }
  }),
  database('stopped and started', (postgres) => postgres.restart(600)),
  database('a table locked', (postgres) => postgres.hold('batches', TOO_LONG_MS)),
  database('read-only', (postgres) => postgres.shut(1200)),
  database('all connections taken', (postgres) => postgres.takeConnections(1500)),
  database('no word from it', (postgres) => postgres.freeze(1500)),
  ...[4000, 1001].map((code) =>
    gateway(`closed with ${code}`, ({ standin }) => standin.gateway.closeWith(code)),
  ),
  gateway('closed with 4007, for a new session', ({ fleet, standin }) =>
    fleet.loseSessions(() => standin.gateway.closeWith(4007)),
  ),
  gateway('cut', ({ standin }) => standin.gateway.cut()),
  answers('429', ['callback'], Array<Fault>(4).fill({ status: 429, retryAfter: 0.3 })),
  answers('500', ['callback'], Array<Fault>(4).fill({ status: 500 })),
  answers('taken, but 500', ['callback'], Array<Fault>(4).fill({ status: 500, isDone: true })),
  answers('dropped before, during, after', ['callback', 'edit of an answer'], [...DROPS, ...DROPS]),
  notices('taken, but 500', Array<Fault>(4).fill({ status: 500, isDone: true })),
  notices('dropped before, during, after', [...DROPS, ...DROPS]),
  restart('killed with kill -9', async ({ fleet, postgres }, shard) => {
    const pid = await fleet.kill(shard);
    await withRecords(postgres, (db) => giveUpClaims(db, pid));
    return [shard];
  }),
  restart('sent a packet that nobody can read', async (stage, shard) => {
    await stage.fleet.expectEnd(shard, () => sendUnreadable(stage, shard), 1);
    return [shard];
  }),
  restart('told to have more shards (4011)', async ({ fleet, standin }) => {
    const [first = 0, ...others] = fleet.shards;
    await Promise.all([
      fleet.expectEnd(first, () => standin.gateway.closeWith(4011), 1),
      ...others.map((shard) => fleet.expectEnd(shard, () => {}, 1)),
    ]);
    return fleet.shards;
  }),
  restart('asked to end', async ({ fleet }, shard) => {
    await fleet.end(shard);
    return [shard];
  }),
];

const POST_TROUBLES: readonly PostTrouble[] = [
  {
    name: 'posts: 500, 429, dropped before, during, after',
    isFaults: true,
    before: ({ standin, random }) =>
      standin.next(
        'message',
        ...shuffled(
          [...DROPS, { status: 500 }, { status: 500, isDone: true }, { status: 429, retryAfter: 0.2 }],
          random,
        ),
      ),
  },
  {
    name: 'posts: refused with a code that is not listed',
    before: (_, channel) => {
      if (channel) channel.refusal = UNLISTED;
    },
  },
  {
    name: 'posts: without Attach Files',
    before: (_, channel) => {
      if (channel) channel.denied = ATTACH_FILES;
    },
  },
  { name: 'posts: a good token refused once', after: ({ standin }) => standin.refuseToken(1) },
];

export const placeOf = (guild: Guild) => ({ community: guild.id, channel: guild.channel('weekly').id });

/** Opened for the moment: what happens to the database would happen to a pool that stays open too. */
export async function withRecords<T>(
  { connectionString }: TroubledPostgres,
  work: (db: Records) => Promise<T>,
): Promise<T> {
  const db = openRecords(connectionString, () => {});
  try {
    return await work(db);
  } finally {
    await db.destroy();
  }
}

export function shuffled<T>(items: readonly T[], random: Random): T[] {
  return items
    .map((item) => ({ item, key: random.below(1_000_000) }))
    .sort((a, b) => a.key - b.key)
    .map(({ item }) => item);
}
