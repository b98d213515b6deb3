import { setTimeout as pause } from 'node:timers/promises';
import { fillDueCommunities } from '../../bench/fill.js';
import type { Interaction } from '../chat-server/interactions.js';
import { isJson, listOf, seenOf, textOf } from '../chat-server/seen.js';
import { type StandIn, startStandIn } from '../chat-server/server.js';
import type { Guild } from '../chat-server/world.js';
import { giveUpClaims } from '../due-posts.js';
import { randomOf } from '../hostile/random.js';
import { astrayIn } from '../hostile/wrongs.js';
import type { TroubledPostgres } from '../troubled-postgres.js';
import { accountOf, type Came, type Tally } from './account.js';
import { type Fleet, fleetOn, isOpen, settled } from './fleet.js';
import { type People, startPeople } from './people.js';
import { LIMITS, placeOf, type Stage, shuffled, TROUBLES, type Trouble, withRecords } from './troubles.js';

const SERVERS = 8;
const MEMBERS_EACH = 3;
/** Enough for a picture in the weekly post. */
const FILLED = { batches: 60, members: 6 };
const DAY_MS = 86_400_000;
const BETWEEN = 'in between';
const BETWEEN_MS = 200;
/** Whatever is asked is answered within this, or it counts as lost. */
const LONGEST_ANSWER_MS = 60_000;
/** Only met when something is wrong, or the machine is very slow. */
const LONGEST_CALM_MS = 180_000;

export interface Row extends Partial<Tally> {
  readonly trouble: string;
  readonly times: number;
}

export interface Told {
  readonly rows: readonly Row[];
  readonly wrongs: readonly string[];
}

interface Span {
  readonly name: string;
  readonly from: number;
}

/**
 * Two processes of the bot on one database, and the members of eight servers who ask and store things while every trouble
 * happens in an order of the seed; then, in calm, what everybody was told is held against what is stored and posted.
 */
export async function scenario(
  postgres: TroubledPostgres,
  seed: number,
  troubles: readonly Trouble[] = TROUBLES,
): Promise<Told> {
  const random = randomOf(seed);
  const standin = await startStandIn({ shards: 2 });
  const guilds = Array.from({ length: SERVERS }, (_, at) =>
    standin.addGuild(`Server ${at}`, [{ name: 'fat' }, { name: 'weekly' }]),
  );
  const fleet = fleetOn(standin, { ...LIMITS, DATABASE_URL: postgres.connectionString });
  const times = new Map<string, number>();
  const count = (name: string, more: number) => void times.set(name, (times.get(name) ?? 0) + more);
  const stage: Stage = { standin, postgres, fleet, random, quiet: [...guilds], count };
  let people: People | undefined;
  try {
    await fill(postgres, guilds);
    await Promise.all(fleet.shards.map((shard) => fleet.start(shard)));
    await settled(() => standin.world.commands.length > 0, LONGEST_CALM_MS);
    people = startPeople(standin, guilds, MEMBERS_EACH, random);
    const spans: Span[] = [{ name: BETWEEN, from: Date.now() }];
    for (const trouble of shuffled(troubles, random)) {
      spans.push({ name: trouble.name, from: Date.now() });
      count(trouble.name, await trouble.happen(stage));
      spans.push({ name: BETWEEN, from: Date.now() });
      await pause(BETWEEN_MS);
    }
    people.stop();
    await finishInCalm(stage, guilds);
    const came = cameOf(standin, fleet, people, spans);
    const { tallies, wrongs } = accountOf(came, await copiesIn(postgres));
    const names = [...new Set([...troubles.map(({ name }) => name), BETWEEN, ...times.keys()])];
    return {
      rows: names.map((name) => ({ trouble: name, times: times.get(name) ?? 0, ...tallies.get(name) })),
      wrongs: [
        ...wrongs,
        ...people.wrongs,
        ...fleet.wrongs,
        ...standin.violations,
        ...textWrongs(standin),
        ...postWrongs(standin, guilds, stage.quiet),
      ],
    };
  } finally {
    people?.stop();
    await standin.close();
  }
}

/** Batches in every server, and a post that is not due before the day after tomorrow. */
async function fill(postgres: TroubledPostgres, guilds: readonly Guild[]): Promise<void> {
  const places = guilds.map((guild) => ({ id: guild.id, channel: placeOf(guild).channel }));
  const due = new Date(Date.now() + 2 * DAY_MS);
  await withRecords(postgres, (db) => fillDueCommunities(db, places, FILLED, due));
}

/** All that was asked is answered, then both processes end; fresh ones send what is left, and end. */
async function finishInCalm(
  { standin, postgres, fleet, quiet }: Stage,
  guilds: readonly Guild[],
): Promise<void> {
  standin.forgetFaults();
  const open = () =>
    standin.interactions().filter((one) => isAsked(one.type) && isOpen(one) && !fleet.isCutOff(one));
  await settled(() => open().length === 0, LONGEST_ANSWER_MS);
  await Promise.all(fleet.shards.map((shard) => fleet.end(shard)));
  await withRecords(postgres, (db) => giveUpClaims(db));
  await Promise.all(fleet.shards.map((shard) => fleet.start(shard)));
  const due = guilds.filter((guild) => !quiet.includes(guild)).map(({ id }) => id);
  await settled(async () => (await countSent(postgres, due)) === due.length, LONGEST_CALM_MS);
  await Promise.all(fleet.shards.map((shard) => fleet.end(shard)));
}

async function countSent(postgres: TroubledPostgres, communities: readonly string[]): Promise<number> {
  const text = `select count(*)::int as sent from deliveries where state = 'sent' and community_id = any($1)`;
  return (await postgres.query<{ sent: number }>(text, [communities]))[0]?.sent ?? 0;
}

/** Suggestions are not: nobody misses those that do not come. */
const isAsked = (type: number): boolean => type !== AUTOCOMPLETE;
const AUTOCOMPLETE = 4;
/** Opcodes and Status Codes › JSON: unknown interaction, which it is after 3 s. */
const TOO_LATE = 10_062;

function cameOf(standin: StandIn, fleet: Fleet, people: People, spans: readonly Span[]): readonly Came[] {
  return standin
    .interactions()
    .filter(({ type }) => isAsked(type))
    .map((one) => {
      const seen = seenOf(one);
      const messages = seen.kind === 'messages' ? seen.messages : [];
      const span = spans.findLast(({ from }) => from <= one.createdAt);
      const afterS = (one.createdAt - (span?.from ?? one.createdAt)) / 1000;
      return {
        during: span?.name ?? BETWEEN,
        what: `${nameOf(one)} (${seen.kind}) ${afterS.toFixed(1)} s after that began`,
        mark: people.marks.get(one.id),
        answers:
          seen.kind === 'dialog' ? ['a form'] : messages.map((message) => textOf(message, standin.world)),
        excuse: fleet.isCutOff(one) ? 'cutOff' : one.refusedWith.includes(TOO_LATE) ? 'late' : undefined,
      };
    });
}

function nameOf({ event: { data } }: Interaction): string {
  if (!isJson(data)) return 'something';
  return String(data.custom_id ?? [data.name, ...listOf(data.options).map(({ name }) => name)].join(' '));
}

/** How often each mark is in the records: as the note that a batch was logged with, or was corrected to. */
async function copiesIn(postgres: TroubledPostgres): Promise<ReadonlyMap<string, number>> {
  const rows = await postgres.query<{ mark: string; copies: number }>(`
    select mark, count(*)::int as copies
    from (select after->>'note' as mark from batch_changes
          union all
          select coalesce(first.before->>'note', note)
          from batches left join batch_changes first using (community_id, number)
          where first.change is null
             or first.change = (select min(change) from batch_changes c
                                where c.community_id = batches.community_id and c.number = batches.number)) noted
    where mark like 'mark %' group by mark`);
  return new Map(rows.map(({ mark, copies }) => [mark, copies]));
}

function textWrongs({ world }: StandIn): readonly string[] {
  const texts = world.messages.map((message) => textOf(message, world));
  const isTrace = (text: string) => /^\s*at .+:\d+:\d+|\b\w*Error: /m.test(text);
  return texts.filter((text) => astrayIn(text).length > 0 || isTrace(text)).map((text) => `said: ${text}`);
}

function postWrongs(standin: StandIn, guilds: readonly Guild[], quiet: readonly Guild[]): readonly string[] {
  return guilds.flatMap((guild) => {
    const posts = standin.messages(placeOf(guild).channel).length;
    return posts === (quiet.includes(guild) ? 0 : 1) ? [] : [`${guild.name} has ${posts} weekly posts`];
  });
}
