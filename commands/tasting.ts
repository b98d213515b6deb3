import { randomInt } from 'node:crypto';
import { z } from 'zod';
import { wholeNumberIn } from '../src/chat/action.js';
import { command, handler, subcommand } from '../src/chat/command.js';
import { wholeNumber, yesOrNo } from '../src/chat/options.js';
import type { Pictures } from '../src/pictures/pictures.js';
import type { Records } from '../src/records/database.js';
import { closeIt } from '../src/tastings/close.js';
import { list } from '../src/tastings/list.js';
import { ANSWER, CLOSE, DETAILS, SERVE, SHEET, TASTE } from '../src/tastings/names.js';
import { open } from '../src/tastings/open.js';
import {
  MOST_PLANNED,
  OPENING,
  suggestTastings,
  tastingNumber,
  tastingNumberIn,
} from '../src/tastings/options.js';
import { details, result } from '../src/tastings/result.js';
import { serve, showSheet } from '../src/tastings/serve.js';
import { answer, codesIn, taste } from '../src/tastings/taste.js';

/** `/tasting`: blind tastings, from the question to what came out. */
export function tasting(db: Records, pictures: Pictures, random: (below: number) => number = randomInt) {
  const which = { number: tastingNumber } as const;
  return command({
    name: 'tasting',
    description: 'Blind tastings: whether there is a difference, and which has more of a taste',
    where: 'server',
    subcommands: {
      open: subcommand({
        description: 'Open a blind tasting, and hear what so many tasters can show',
        stores: true,
        work: 'long',
        options: OPENING,
        run: (said, call) => open(db, random, said, call),
      }),
      serve: subcommand({
        description: 'Be the one who serves and alone sees what is in the cups',
        audience: 'only you',
        stores: true,
        options: which,
        run: ({ number }, call) => serve(db, number, call),
        suggest: suggestTastings(db, 'open'),
      }),
      sheet: subcommand({
        description: 'What goes into which cup, for the one who serves',
        audience: 'only you',
        options: {
          ...which,
          from: wholeNumber({
            description: 'The first seat shown',
            required: false,
            least: 1,
            most: MOST_PLANNED,
            example: '13',
          }),
        },
        run: ({ number, from = 1 }, call) => showSheet(db, number, from, call),
        suggest: suggestTastings(db, 'open'),
      }),
      taste: subcommand({
        description: 'Take a seat and taste, or see your codes again',
        audience: 'only you',
        stores: true,
        options: which,
        run: ({ number }, call) => taste(db, number, call),
        suggest: suggestTastings(db, 'open'),
      }),
      close: subcommand({
        description: 'Take no more answers, and tell what came out',
        stores: true,
        work: 'long',
        options: {
          ...which,
          anyway: yesOrNo({ description: 'Though some have not answered', required: false }),
        },
        run: ({ number, anyway = false }, call) => closeIt(db, number, anyway, call),
        suggest: suggestTastings(db, 'open'),
      }),
      result: subcommand({
        description: 'What came out of a tasting',
        work: 'long',
        options: which,
        run: ({ number }, call) => result(db, number, call),
        suggest: suggestTastings(db, 'closed'),
      }),
      list: subcommand({
        description: 'The newest tastings, and what those of the same question say together',
        work: 'long',
        options: {},
        run: (_values, call) => list(db, random, call),
      }),
    },
    handlers: {
      [SERVE]: handler({
        audience: 'only you',
        stores: true,
        args: z.tuple([tastingNumberIn]),
        press: ([number], _fields, call) => serve(db, number, call),
      }),
      [SHEET]: handler({
        audience: 'only you',
        args: z.tuple([tastingNumberIn, z.union([z.literal('all'), wholeNumberIn(1, MOST_PLANNED)])]),
        press: ([number, from], _fields, call) => showSheet(db, number, from, call),
      }),
      [TASTE]: handler({
        audience: 'only you',
        stores: true,
        args: z.tuple([tastingNumberIn]),
        press: ([number], _fields, call) => taste(db, number, call),
      }),
      [ANSWER]: handler({
        audience: 'only you',
        stores: true,
        args: z.tuple([tastingNumberIn, codesIn]),
        press: ([number, pressed], _fields, call) => answer(db, number, pressed, call),
      }),
      [CLOSE]: handler({
        audience: 'everyone',
        stores: true,
        work: 'long',
        args: z.tuple([tastingNumberIn, z.enum(['ask', 'now'])]),
        press: ([number, how], _fields, call) => closeIt(db, number, how === 'now', call),
      }),
      [DETAILS]: handler({
        audience: 'only you',
        work: 'picture',
        args: z.tuple([tastingNumberIn]),
        press: ([number], _fields, call) => details(db, pictures, number, call),
      }),
    },
  });
}
