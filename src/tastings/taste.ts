/** A taster's seat and answer: codes in order, and nothing of what is in the cups. */
import { z } from 'zod';
import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import type { Outcome } from '../chat/command.js';
import { type Action, type Refusal, refusal, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { answerTasting, seatOf, takeSeat } from '../records/tasting-seats.js';
import { findTasting, type Tasting } from '../records/tastings.js';
import { cautionShown } from '../safety/choose.js';
import { listWords } from '../words/lists.js';
import { ANSWER, TASTE } from './names.js';
import { noSuchTasting, tastingIsClosed } from './refusals.js';

/** Codes one after another in the id of a button. */
export const codesIn = z
  .string()
  .regex(/^\d{3}(?:\.\d{3}){0,5}$/)
  .transform((text) => text.split('.'));

/** Gives the caller their seat, with a button for every cup. */
export async function taste(db: Records, number: number, call: Call): Promise<Outcome> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  const seated = await takeSeat(db, { ...call, number });
  switch (seated.kind) {
    case 'none':
      return noSuchTasting(number);
    case 'closed':
      return tastingIsClosed(number);
    case 'serves':
      return refusal('You serve', 'Who knows what is in the cups cannot taste blind.');
    case 'full':
      return refusal(
        'All seats are taken',
        `Tasting ${number} has ${tasting.planned} seats. Ask for another tasting.`,
      );
    case 'seated': {
      const { seat, codes, picked } = seated.seat;
      call.saved(`You have seat ${seat}`);
      return reply({
        title: `Seat ${seat}: taste ${listWords(codes)} in this order`,
        audience: 'only you',
        lines: [
          ...(picked === undefined ? [] : [`Your answer so far: ${picked.join(', ')}.`]),
          taskWords(tasting),
          `Tell who serves: seat ${seat}. Rinse between cups. Changeable until the close.`,
        ],
        caution: cautionShown({ activity: 'taste' }),
        actions: codeButtons(number, [], codes),
        figures: { tasting: number, seat, cups: codes.length },
      });
    }
  }
}

function taskWords({ kind, quality }: Tasting): string {
  switch (kind) {
    case 'triangle':
      return 'Two are the same. Press the code of the odd one; guess if you must.';
    case 'pair':
      return `Press the code of the one that is more ${quality}; guess if you must.`;
    case 'ranking':
      return `Press the codes one after another, the most ${quality} first.`;
  }
}

/** A button for each code that is left, in the order of tasting; its id holds what was pressed before it. */
const codeButtons = (
  number: number,
  pressed: readonly string[],
  left: readonly string[],
): readonly Action[] =>
  left.map((code) => button(code, actionId(ANSWER, number, [...pressed, code].join('.')), 'main'));

/** Takes what the caller pressed so far: stores it once it is a whole answer, else asks for the next. */
export async function answer(
  db: Records,
  number: number,
  pressed: readonly string[],
  call: Call,
): Promise<Outcome> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  if (tasting.kind !== 'ranking' || tasting.closed) return store(db, number, pressed, call);
  const seat = await seatOf(db, { ...call, number });
  if (seat === undefined) return noSeat(number);
  const left = seat.codes.filter((code) => !pressed.includes(code));
  const areOwn = pressed.every((code, at) => seat.codes.includes(code) && pressed.indexOf(code) === at);
  if (!areOwn) return notYourCups(number);
  if (left.length <= 1) return store(db, number, [...pressed, ...left], call);
  return reply({
    title: `${pressed.join(', ')}, and then?`,
    audience: 'only you',
    lines: [`Press the most ${tasting.quality} of those left. Nothing counts before the last.`],
    actions: [...codeButtons(number, pressed, left), button('Start again', actionId(TASTE, number))],
    figures: { tasting: number, pressed: pressed.length, cups: seat.codes.length },
  });
}

async function store(db: Records, number: number, picked: readonly string[], call: Call): Promise<Outcome> {
  const answered = await answerTasting(db, { ...call, number }, picked);
  switch (answered.kind) {
    case 'none':
      return noSuchTasting(number);
    case 'closed':
      return tastingIsClosed(number);
    case 'no seat':
      return noSeat(number);
    case 'not your cups':
      return notYourCups(number);
    case 'answered':
      call.saved('Your answer is saved');
      return reply({
        title: `Your answer: ${picked.join(', ')}`,
        audience: 'only you',
        lines: [
          answered.isChange ? 'It takes the place of the one before.' : 'It counts once.',
          'You can change it until the close, with the same buttons. What came out is told then, to all at once.',
        ],
        figures: { tasting: number, answers: 1 },
      });
  }
}

const noSeat = (number: number): Refusal =>
  refusal('You have no seat there', `Take one first: /tasting taste number:${number}.`);

const notYourCups = (number: number): Refusal =>
  refusal('Those are not your cups', `Your codes: /tasting taste number:${number}.`);
