import { actionId, button } from '../chat/action.js';
import { type Picture, type Reply, reply, type Table, withPicture } from '../chat/reply.js';
import type { Composed, Content } from '../deliveries/content.js';
import type { Illustration } from '../findings/community-model.js';
import { drawnRows } from '../findings/level-comparisons.js';
import { pooledFigures } from '../findings/pooled.js';
import { drawnHere, type Pictures } from '../pictures/pictures.js';
import type { Records } from '../records/database.js';
import { cautionsShownSince } from '../records/deliveries.js';
import type { Caution } from '../safety/cautions.js';
import { shown } from '../safety/choose.js';
import { seasonAt } from '../safety/season.js';
import { SAFETY_TOPICS, type SafetyTopic } from '../safety/topics.js';
import { REMINDER_REST_MS, reminderFor } from '../safety/weekly-reminder.js';
import { type Method, methodLabel } from '../words/methods.js';
import { percentWords, yieldRangeWords } from '../words/yield-words.js';
import { LATEST_MS } from './appointments.js';
import { gatherWeek, isQuiet, type MethodYields, type WeeklyFacts } from './facts.js';
import { planWeekly } from './plan.js';
import { postLines, spanWords } from './words.js';

/** Names the action of the button behind the open question; its arguments are method, cut and raw fat in grams. */
export const TAKE_ON = 'weekly.take-on';

/** Writes the weekly post of a community for the week that ended at `until`, as it reads at `now`. */
export type Compose = (community: string, until: Date, now: Date) => Promise<Composed>;

/** Who draws the picture of a post, and who hears why it could not be drawn. */
type Drawing = Pick<Illustration, 'pictures' | 'missed'>;
const ignored = (): void => {};

/** Composes in this thread. */
export const composingWith =
  (db: Records, missed: Drawing['missed'] = ignored): Compose =>
  (...week) =>
    composeWeekly(db, ...week, { pictures: drawnHere, missed });

/** Weekly posts, as they are delivered. */
export const weeklyPosts = (compose: Compose): Content => ({
  plan: planWeekly,
  compose: ({ community, dueAt }, now) => compose(community, dueAt, now),
  latestMs: LATEST_MS,
  closedNews: (places) =>
    reply({
      title:
        places.length === 1
          ? 'The weekly post could not be sent'
          : `${places.length} weekly posts could not be sent`,
      lines: [
        ...new Set(places),
        places.length === 1 ? 'It is kept.' : 'They are kept.',
        'Let me into the channel again or choose another with /settings weekly, then send with /weekly post.',
      ],
    }),
});

export async function composeWeekly(
  db: Records,
  community: string,
  until: Date,
  now: Date,
  drawing: Drawing = { pictures: drawnHere, missed: ignored },
): Promise<Composed> {
  const [facts, recent] = await Promise.all([
    gatherWeek(db, community, until),
    cautionsShownSince(db, community, new Date(now.getTime() - REMINDER_REST_MS)),
  ]);
  const reminder = reminderFor({
    fatGByMethod: fatGByMethod(facts),
    season: seasonAt(until, zoneOf(facts)),
    recentlyShown: recent,
    reported: facts.nearMisses.filter(isTopic),
    now,
  });
  const skip = isQuiet(facts) && (facts.settings?.skipsQuiet ?? false);
  return { reply: await writePost(facts, reminder, now, drawing), caution: reminder.id, skip };
}

/** Raw fat of the week, or of all there is where the week brought none. */
function fatGByMethod({ byMethod, week }: WeeklyFacts): ReadonlyMap<Method, number> {
  return new Map(
    byMethod.flatMap((one) => {
      const pooled = week.kind === 'no-batches' ? one.all : one.week;
      return pooled.kind === 'pooled' ? [[one.method, pooled.fatG] as const] : [];
    }),
  );
}

async function writePost(
  facts: WeeklyFacts,
  reminder: Caution,
  now: Date,
  { pictures, missed }: Drawing,
): Promise<Reply> {
  const { week, before, all, byMethod, adjusted, changes, question, odd, newcomers, nearMisses } = facts;
  const written = reply({
    title: `The week in tallow, ${spanWords(facts.from, facts.until, zoneOf(facts))}`,
    lines: postLines(facts, now),
    caution: shown(reminder),
    sources: all.kind === 'no-batches' ? [] : ['this community’s batches'],
    actions: question
      ? [button('Take it on', actionId(TAKE_ON, question.method, question.cut, question.fatG), 'main')]
      : [],
    figures: {
      week: pooledFigures(week),
      before: pooledFigures(before),
      all: pooledFigures(all),
      byMethod: Object.fromEntries(
        byMethod.map((one) => [one.method, { week: pooledFigures(one.week), all: pooledFigures(one.all) }]),
      ),
      adjusted: Object.fromEntries(
        adjusted.map(({ level, mean, interval }) => [
          level,
          {
            adjustedYield: mean ?? null,
            adjustedYieldLow: interval?.low ?? null,
            adjustedYieldHigh: interval?.high ?? null,
          },
        ]),
      ),
      becameClear: changes.clear.length,
      becameUnclear: changes.unclear.length,
      finishedEarlier: facts.finishedEarlier,
      oddBatches: [...odd],
      newcomers: newcomers.length,
      nearMisses: nearMisses.length,
      ...(question ? { openFatG: question.fatG } : {}),
    },
  });
  // A quiet week has nothing new to show.
  if (isQuiet(facts)) return written;
  const illustrated = await withPicture(written, pictureOf(facts, pictures), missed);
  return illustrated.picture || byMethod.length === 0
    ? illustrated
    : { ...illustrated, table: methodTable(byMethod) };
}

const zoneOf = ({ settings }: WeeklyFacts): string => settings?.zone ?? 'UTC';

function isTopic(topic: string | undefined): topic is SafetyTopic {
  return SAFETY_TOPICS.some(({ value }) => value === topic);
}

function methodTable(byMethod: readonly MethodYields[]): Table {
  return {
    columns: [
      { title: 'Pooled yield', align: 'left' },
      { title: 'This week', align: 'right' },
      { title: 'In all', align: 'right' },
      { title: 'Batches', align: 'right' },
    ],
    rows: byMethod.map(({ method, week, all }) => [
      methodLabel(method),
      week.kind === 'pooled' ? percentWords(week.estimate) : '–',
      all.kind === 'pooled' ? percentWords(all.estimate) : '–',
      all.kind === 'pooled' ? String(all.batches) : '0',
    ]),
  };
}

/** The yield of each method with everything else alike; undefined before any can be told. */
async function pictureOf({ adjusted, marks }: WeeklyFacts, pictures: Pictures): Promise<Picture | undefined> {
  if (adjusted.every(({ mean }) => mean === undefined)) return undefined;
  const title = 'Yield by method, all else alike';
  const told = adjusted.map(({ label, mean, interval }) => {
    if (mean === undefined) return `${label} cannot be told yet`;
    return `${label} ${percentWords(mean)} (${interval ? yieldRangeWords(interval) : 'no interval yet'})`;
  });
  return {
    name: 'weekly-yield-by-method.png',
    alt: `${title}, with 95 % intervals: ${told.join('; ')}.`,
    png: await pictures.yields({
      title,
      caption:
        'Dot and bar: mean with cut, weight and time alike, 95 % interval. Circles: batches, larger for more fat.',
      rows: drawnRows('method', adjusted, marks),
    }),
  };
}
