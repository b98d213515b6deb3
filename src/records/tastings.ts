import { z } from 'zod';
import type { Cup } from '../statistics/sensory/blind-codes.js';
import type { Records } from './database.js';
import { rememberMember } from './members.js';
import type { TastingKind } from './schema.js';

export type { TastingKind } from './schema.js';

/** What is in the cups: a batch of the community, or something in words. */
export type Product = { readonly batch: number } | { readonly words: string };

/** The smallest difference worth finding: a share of people who can tell, or d′ in standard deviations of a taste. */
export type Matter = { readonly share: number } | { readonly dPrime: number };

export interface TastingPlan {
  readonly kind: TastingKind;
  readonly products: readonly Product[];
  /** What is asked for in a pair or ranking: "beefy". */
  readonly quality: string | undefined;
  /** Of a pair: only whether this one has more, 0 being the first product. */
  readonly expected: 0 | 1 | undefined;
  readonly planned: number;
  readonly matters: Matter;
}

/** What came out, without names. */
export type TastingCounts =
  | { readonly kind: 'triangle'; readonly correct: number; readonly assessors: number }
  | { readonly kind: 'pair'; readonly first: number; readonly second: number }
  /** Each assessor's rank of every product, 1 having most, in an order that says nothing of who it was. */
  | { readonly kind: 'ranking'; readonly rankings: readonly (readonly number[])[] };

export interface Tasting extends TastingPlan {
  readonly number: number;
  readonly openedBy: string | undefined;
  readonly openedAt: Date;
  readonly servedBy: string | undefined;
  readonly closed: { readonly at: Date; readonly counts: TastingCounts } | undefined;
}

/** A person at a tasting, as the adapter knows them. */
export interface AtTasting {
  readonly community: string;
  readonly member: { readonly id: string; readonly name: string };
  readonly number: number;
  readonly now: Date;
}

/**
 * Opens a tasting under the community's next number with a seat for each list of cups; the same interaction opens it
 * once.
 */
export async function openTasting(
  db: Records,
  entry: Omit<AtTasting, 'number'> & { readonly interaction: string },
  plan: TastingPlan,
  seats: readonly (readonly Cup[])[],
): Promise<number> {
  const { community, member, now } = entry;
  return db.transaction().execute(async (tx) => {
    await rememberMember(tx, community, member, now);
    // this lock makes numbers consecutive
    await tx
      .selectFrom('communities')
      .select('community_id')
      .where('community_id', '=', community)
      .forNoKeyUpdate()
      .executeTakeFirstOrThrow();
    const { known, last } = await tx
      .selectFrom('tastings')
      .select((e) => [
        e.fn.max<number | null>('number').as('last'),
        e.fn
          .max<number | null>('number')
          .filterWhere('opened_by_interaction', '=', entry.interaction)
          .as('known'),
      ])
      .where('community_id', '=', community)
      .executeTakeFirstOrThrow();
    if (known !== null) return known;
    const number = (last ?? 0) + 1;
    await tx
      .insertInto('tastings')
      .values({
        community_id: community,
        number,
        kind: plan.kind,
        products: JSON.stringify(plan.products),
        quality: plan.quality ?? null,
        expected: plan.expected ?? null,
        planned: plan.planned,
        matters_share: 'share' in plan.matters ? plan.matters.share : null,
        matters_d_prime: 'dPrime' in plan.matters ? plan.matters.dPrime : null,
        opened_by: member.id,
        opened_at: now,
        opened_by_interaction: entry.interaction,
        served_by: null,
      })
      .execute();
    await tx
      .insertInto('tasting_servings')
      .values(
        seats.map((cups, at) => ({
          community_id: community,
          number,
          seat: at + 1,
          cups: JSON.stringify(cups),
        })),
      )
      .execute();
    return number;
  });
}

export async function findTasting(
  db: Records,
  community: string,
  number: number,
): Promise<Tasting | undefined> {
  const row = await selectTastings(db, community).where('number', '=', number).executeTakeFirst();
  return row && tastingOf(row);
}

/** The newest first. */
export async function newestTastings(
  db: Records,
  community: string,
  most: number,
): Promise<readonly Tasting[]> {
  const rows = await selectTastings(db, community).orderBy('number', 'desc').limit(most).execute();
  return rows.map(tastingOf);
}

/** Those closed before `until`, the newest first. */
export async function closedTastings(
  db: Records,
  community: string,
  until: Date,
  most: number,
): Promise<readonly Tasting[]> {
  const rows = await selectTastings(db, community)
    .where('closed_at', '<', until)
    .orderBy('number', 'desc')
    .limit(most)
    .execute();
  return rows.map(tastingOf);
}

/** Counts the answers and takes no more; a tasting that is closed stays as it is. Undefined when there is none. */
export async function closeTasting(
  db: Records,
  { community, number, now }: Omit<AtTasting, 'member'>,
): Promise<Tasting | undefined> {
  return db.transaction().execute(async (tx) => {
    const tasting = await lockTasting(tx, community, number);
    return tasting && (tasting.closed ? tasting : close(tx, community, tasting, now));
  });
}

const CLOSED_AT_ONCE = 100;

/** Closes tastings of any community that were opened before `openedBefore`; several processes may do so at once. */
export async function closeOverdueTastings(db: Records, openedBefore: Date, now: Date): Promise<number> {
  return db.transaction().execute(async (tx) => {
    const rows = await overdueTastings(tx, openedBefore);
    for (const row of rows) await close(tx, row.community_id, tastingOf(row), now);
    return rows.length;
  });
}

const overdueTastings = (tx: Records, openedBefore: Date) =>
  tx
    .selectFrom('tastings')
    .selectAll()
    .where('closed_at', 'is', null)
    .where('opened_at', '<', openedBefore)
    .orderBy('opened_at')
    .limit(CLOSED_AT_ONCE)
    .forNoKeyUpdate()
    .skipLocked()
    .execute();

async function close(tx: Records, community: string, tasting: Tasting, now: Date): Promise<Tasting> {
  const given = await tx
    .selectFrom('tasting_answers as a')
    .innerJoin('tasting_servings as s', (join) =>
      join
        .onRef('s.community_id', '=', 'a.community_id')
        .onRef('s.number', '=', 'a.number')
        .onRef('s.seat', '=', 'a.seat'),
    )
    .select(['s.cups', 'a.picked'])
    .where('a.community_id', '=', community)
    .where('a.number', '=', tasting.number)
    .where('a.picked', 'is not', null)
    .execute();
  const answers = given.map(({ cups, picked }) => ({ cups: cupsIn.parse(cups), picked: picked ?? [] }));
  const counts = countsOf(tasting, answers);
  await tx
    .updateTable('tastings')
    .set({ closed_at: now, counts: JSON.stringify(counts) })
    .where('community_id', '=', community)
    .where('number', '=', tasting.number)
    .execute();
  return { ...tasting, closed: { at: now, counts } };
}

interface GivenAnswer {
  readonly cups: readonly Cup[];
  readonly picked: readonly string[];
}

function countsOf({ kind, products }: TastingPlan, answers: readonly GivenAnswer[]): TastingCounts {
  const named = answers.map(({ cups, picked }) =>
    picked.map((code) => cups.find((cup) => cup.code === code)?.product ?? -1),
  );
  if (kind === 'triangle') {
    const isOdd = ({ cups }: GivenAnswer, [product]: readonly number[]) =>
      cups.filter((cup) => cup.product === product).length === 1;
    const correct = answers.filter((answer, at) => isOdd(answer, named[at] ?? [])).length;
    return { kind, correct, assessors: answers.length };
  }
  if (kind === 'pair') {
    const first = named.filter(([product]) => product === 0).length;
    return { kind, first, second: answers.length - first };
  }
  const ranks = named.map((order) => products.map((_, product) => order.indexOf(product) + 1));
  // in the order of the ranks themselves, so that nobody's place in it says who they were
  return { kind, rankings: ranks.sort((a, b) => a.join(' ').localeCompare(b.join(' '))) };
}

const selectTastings = (db: Records, community: string) =>
  db.selectFrom('tastings').selectAll().where('community_id', '=', community);

type TastingRow = Awaited<ReturnType<ReturnType<typeof selectTastings>['execute']>>[number];

/** Whoever changes a tasting or anything of it holds its row first, so that all of it follows one after another. */
export async function lockTasting(
  tx: Records,
  community: string,
  number: number,
): Promise<Tasting | undefined> {
  const row = await selectTastings(tx, community)
    .where('number', '=', number)
    .forNoKeyUpdate()
    .executeTakeFirst();
  return row && tastingOf(row);
}

// What the bot itself stored is read back with the same care as anything from outside.
export const cupsIn = z.array(z.object({ code: z.string(), product: z.number() }));
const productsIn = z.array(z.union([z.object({ batch: z.number() }), z.object({ words: z.string() })]));
const countsIn = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('triangle'), correct: z.number(), assessors: z.number() }),
  z.object({ kind: z.literal('pair'), first: z.number(), second: z.number() }),
  z.object({ kind: z.literal('ranking'), rankings: z.array(z.array(z.number())) }),
]);

function tastingOf(row: TastingRow): Tasting {
  const { number, kind, planned, opened_at, closed_at, expected } = row;
  return {
    number,
    kind,
    planned,
    products: productsIn.parse(row.products),
    quality: row.quality ?? undefined,
    expected: expected === 0 || expected === 1 ? expected : undefined,
    matters: row.matters_share === null ? { dPrime: row.matters_d_prime ?? 1 } : { share: row.matters_share },
    openedBy: row.opened_by ?? undefined,
    openedAt: opened_at,
    servedBy: row.served_by ?? undefined,
    closed: closed_at === null ? undefined : { at: closed_at, counts: countsIn.parse(row.counts) },
  };
}
