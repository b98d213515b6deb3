import type { Cup } from '../statistics/sensory/blind-codes.js';
import type { Records } from './database.js';
import { rememberMember } from './members.js';
import type { TastingKind } from './schema.js';
import { type AtTasting, cupsIn, lockTasting } from './tastings.js';

type Serving = 'serves' | 'somebody else serves' | 'has a seat' | 'closed' | 'none';

/** Makes a member the one who serves and so knows, unless somebody else does or they have a seat at the table. */
export async function serveTasting(
  db: Records,
  { community, member, number, now }: AtTasting,
): Promise<Serving> {
  return db.transaction().execute(async (tx) => {
    const tasting = await lockTasting(tx, community, number);
    if (tasting === undefined) return 'none';
    if (tasting.servedBy === member.id) return 'serves';
    if (tasting.closed) return 'closed';
    if (tasting.servedBy !== undefined) return 'somebody else serves';
    if (await findSeat(tx, community, number, member.id)) return 'has a seat';
    await rememberMember(tx, community, member, now);
    await tx
      .updateTable('tastings')
      .set({ served_by: member.id })
      .where('community_id', '=', community)
      .where('number', '=', number)
      .execute();
    return 'serves';
  });
}

/** A seat as the one who serves sees it. */
export interface SheetRow {
  readonly seat: number;
  readonly cups: readonly Cup[];
  readonly taster: string | undefined;
  readonly hasAnswered: boolean;
}

/** All seats with what is in every cup. Nobody but the one who serves may see it before the close. */
export async function sheetOf(db: Records, community: string, number: number): Promise<readonly SheetRow[]> {
  const rows = await db
    .selectFrom('tasting_servings as s')
    .leftJoin('tasting_answers as a', (join) =>
      join
        .onRef('a.community_id', '=', 's.community_id')
        .onRef('a.number', '=', 's.number')
        .onRef('a.seat', '=', 's.seat'),
    )
    .leftJoin('members as m', (join) =>
      join.onRef('m.community_id', '=', 'a.community_id').onRef('m.member_id', '=', 'a.member_id'),
    )
    .select(['s.seat', 's.cups', 'm.name', 'a.picked'])
    .where('s.community_id', '=', community)
    .where('s.number', '=', number)
    .orderBy('s.seat')
    .execute();
  return rows.map(({ seat, cups, name, picked }) => ({
    seat,
    cups: cupsIn.parse(cups),
    taster: name ?? undefined,
    hasAnswered: picked !== null,
  }));
}

/** A seat as its taster sees it: codes in the order in which they are tasted, and nothing of what is in them. */
export interface Seat {
  readonly seat: number;
  readonly codes: readonly string[];
  /** What they named last; undefined before they answered. */
  readonly picked: readonly string[] | undefined;
}

type Seated =
  | { readonly kind: 'seated'; readonly seat: Seat }
  | { readonly kind: 'full' | 'serves' | 'closed' | 'none' };

/** Gives a member their seat: the one they have, or the first that is free. */
export async function takeSeat(db: Records, { community, member, number, now }: AtTasting): Promise<Seated> {
  return db.transaction().execute(async (tx) => {
    const tasting = await lockTasting(tx, community, number);
    if (tasting === undefined) return { kind: 'none' };
    if (tasting.closed) return { kind: 'closed' };
    if (tasting.servedBy === member.id) return { kind: 'serves' };
    const own = await findSeat(tx, community, number, member.id);
    if (own) return { kind: 'seated', seat: own };
    const free = await tx
      .selectFrom('tasting_servings as s')
      .select(['s.seat', 's.cups'])
      .where('s.community_id', '=', community)
      .where('s.number', '=', number)
      .where((e) =>
        e.not(
          e.exists(
            e
              .selectFrom('tasting_answers as a')
              .select('a.seat')
              .whereRef('a.community_id', '=', 's.community_id')
              .whereRef('a.number', '=', 's.number')
              .whereRef('a.seat', '=', 's.seat'),
          ),
        ),
      )
      .orderBy('s.seat')
      .limit(1)
      .executeTakeFirst();
    if (free === undefined) return { kind: 'full' };
    await rememberMember(tx, community, member, now);
    await tx
      .insertInto('tasting_answers')
      .values({ community_id: community, number, seat: free.seat, member_id: member.id, picked: null })
      .execute();
    return { kind: 'seated', seat: { seat: free.seat, codes: codesOf(free.cups), picked: undefined } };
  });
}

/** The seat that a member has. */
export const seatOf = (
  db: Records,
  { community, member, number }: Omit<AtTasting, 'now'>,
): Promise<Seat | undefined> => findSeat(db, community, number, member.id);

export type Answered =
  | { readonly kind: 'answered'; readonly isChange: boolean }
  | { readonly kind: 'no seat' | 'not your cups' | 'closed' | 'none' };

/** Stores what a taster named, in place of what they named before; only codes of their own cups are taken. */
export async function answerTasting(
  db: Records,
  { community, member, number, now }: AtTasting,
  picked: readonly string[],
): Promise<Answered> {
  return db.transaction().execute(async (tx) => {
    const tasting = await lockTasting(tx, community, number);
    if (tasting === undefined) return { kind: 'none' };
    if (tasting.closed) return { kind: 'closed' };
    const seat = await findSeat(tx, community, number, member.id);
    if (seat === undefined) return { kind: 'no seat' };
    if (!isWholeAnswer(tasting.kind, seat.codes, picked)) return { kind: 'not your cups' };
    await tx
      .updateTable('tasting_answers')
      .set({ picked: [...picked], answered_at: now })
      .where('community_id', '=', community)
      .where('number', '=', number)
      .where('member_id', '=', member.id)
      .execute();
    return { kind: 'answered', isChange: seat.picked !== undefined };
  });
}

function isWholeAnswer(kind: TastingKind, codes: readonly string[], picked: readonly string[]): boolean {
  const wanted = kind === 'ranking' ? codes.length : 1;
  return (
    picked.length === wanted &&
    new Set(picked).size === wanted &&
    picked.every((code) => codes.includes(code))
  );
}

/** How many of the seats have answered. */
export async function answersGiven(db: Records, community: string, number: number): Promise<number> {
  const { answers } = await db
    .selectFrom('tasting_answers')
    .select((e) => e.fn.countAll<number>().as('answers'))
    .where('community_id', '=', community)
    .where('number', '=', number)
    .where('picked', 'is not', null)
    .executeTakeFirstOrThrow();
  return answers;
}

/**
 * Takes a member out of every tasting: their answers and seats, and that they opened or served it. What closed tastings
 * counted stays as it was, as numbers without names. The seat of an open one is free again.
 */
export async function forgetTaster(db: Records, community: string, memberId: string): Promise<void> {
  await db
    .deleteFrom('tasting_answers')
    .where('community_id', '=', community)
    .where('member_id', '=', memberId)
    .execute();
  for (const column of ['opened_by', 'served_by'] as const)
    await db
      .updateTable('tastings')
      .set({ [column]: null })
      .where('community_id', '=', community)
      .where(column, '=', memberId)
      .execute();
}

async function findSeat(
  db: Records,
  community: string,
  number: number,
  memberId: string,
): Promise<Seat | undefined> {
  const row = await db
    .selectFrom('tasting_answers as a')
    .innerJoin('tasting_servings as s', (join) =>
      join
        .onRef('s.community_id', '=', 'a.community_id')
        .onRef('s.number', '=', 'a.number')
        .onRef('s.seat', '=', 'a.seat'),
    )
    .select(['a.seat', 's.cups', 'a.picked'])
    .where('a.community_id', '=', community)
    .where('a.number', '=', number)
    .where('a.member_id', '=', memberId)
    .executeTakeFirst();
  return row && { seat: row.seat, codes: codesOf(row.cups), picked: row.picked ?? undefined };
}

const codesOf = (cups: unknown): readonly string[] => cupsIn.parse(cups).map(({ code }) => code);
