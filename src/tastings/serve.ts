/** The sheet of the one who serves: nobody else sees it. */
import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import type { Outcome } from '../chat/command.js';
import { type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { type SheetRow, serveTasting, sheetOf } from '../records/tasting-seats.js';
import { findTasting, type Tasting } from '../records/tastings.js';
import { cautionShown } from '../safety/choose.js';
import { sourceLines } from '../safety/sources.js';
import { countWords, listWords } from '../words/lists.js';
import { CLOSE, SHEET } from './names.js';
import { letterAt, productName } from './questions.js';
import { noSuchTasting, tastingIsClosed } from './refusals.js';

const SEATS_ON_A_PAGE = 12;
const MOST_CUPS_BESIDE_NAMES = 3;

/** Makes the caller the one who serves, unless somebody else does or they taste, and says how. */
export async function serve(db: Records, number: number, call: Call): Promise<Outcome> {
  const serving = await serveTasting(db, { ...call, number });
  switch (serving) {
    case 'none':
      return noSuchTasting(number);
    case 'closed':
      return tastingIsClosed(number);
    case 'somebody else serves':
      return somebodyElse();
    case 'has a seat':
      return refusal(
        'You taste',
        'Who has a seat may not see what is in the cups. Ask somebody else to serve.',
      );
    case 'serves':
      call.saved(`You serve tasting ${number}`);
      return describeServing(db, number, call);
  }
}

async function describeServing(db: Records, number: number, call: Call): Promise<Outcome> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  return reply({
    title: `You serve tasting ${number}: ${countWords(tasting.planned, 'seat', 'seats')}`,
    audience: 'only you',
    lines: [
      `${keyWords(tasting)} Only you may know.`,
      'Codes on the cups, same amount in each, unseen.',
      'Say what is in them. Between cups: warm water, plain bread.',
    ],
    caution: cautionShown({ activity: 'serve' }),
    sources: sourceLines([
      'practice-palate',
      tasting.kind === 'pair' ? 'iso-5495' : tasting.kind === 'ranking' ? 'iso-8587' : 'iso-4120',
    ]),
    actions: [
      button('The sheet', actionId(SHEET, number, 1), 'main'),
      button('Close it', actionId(CLOSE, number, 'ask')),
    ],
    figures: { tasting: number, seats: tasting.planned },
  });
}

/** "A is one wash, B is two washes." */
const keyWords = ({ products }: Tasting): string =>
  `${listWords(products.map((product, at) => `${letterAt(at)} is ${productName(product)}`))}.`;

/** Where the sheet that is shown begins: at a seat, with as many as a page holds, or all of it at once, to print. */
type SheetFrom = number | 'all';

/** The sheet, for the one who serves, and once it is closed for anyone. */
export async function showSheet(
  db: Records,
  number: number,
  from: SheetFrom,
  call: Call,
): Promise<Reply | Refusal> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  if (tasting.servedBy !== call.member.id && !tasting.closed) return somebodyElse();
  const rows = await sheetOf(db, call.community, number);
  const seats = rows.length;
  const first = from === 'all' ? 1 : Math.min(from, seats);
  const last = from === 'all' ? seats : Math.min(first + SEATS_ON_A_PAGE - 1, seats);
  const isWhole = first === 1 && last === seats;
  return reply({
    title: `Tasting ${number}, seats ${first} to ${last} of ${seats}`,
    audience: 'only you',
    lines: [`${keyWords(tasting)} Each row from left to right.`],
    table: sheetTable(rows.slice(first - 1, last), tasting.closed === undefined),
    actions: [
      ...(last < seats ? [button('Next seats', actionId(SHEET, number, last + 1), 'main')] : []),
      ...(first > 1 ? [button('From seat 1', actionId(SHEET, number, 1))] : []),
      ...(isWhole ? [] : [button('All, to print', actionId(SHEET, number, 'all'))]),
      ...(tasting.closed ? [] : [button('Close it', actionId(CLOSE, number, 'ask'))]),
    ],
    figures: { tasting: number, from: first, to: last, seats },
  });
}

/** Who sits where is told to the one who serves alone, and only where it fits on a phone. */
function sheetTable(rows: readonly SheetRow[], isOpen: boolean) {
  const cups = rows[0]?.cups.length ?? 0;
  const showsWho = isOpen && cups <= MOST_CUPS_BESIDE_NAMES;
  return {
    columns: [
      { title: 'Seat', align: 'right' },
      ...Array.from({ length: cups }, (_, at) => ({ title: `Cup ${at + 1}`, align: 'left' }) as const),
      ...(!showsWho ? [] : [{ title: 'Who', align: 'left' } as const]),
    ],
    rows: rows.map(({ seat, cups: inOrder, taster, hasAnswered }) => [
      String(seat),
      ...inOrder.map(({ code, product }) => `${code} ${letterAt(product)}`),
      ...(!showsWho ? [] : [taster === undefined ? '' : `${hasAnswered ? '✓ ' : ''}${taster.slice(0, 12)}`]),
    ]),
  } as const;
}

const somebodyElse = (): Refusal =>
  refusal('Somebody else serves', 'Only the one who serves sees the sheet. You can taste: /tasting taste.');
