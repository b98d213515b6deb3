import { z } from 'zod';
import { actionId, button } from '../../src/chat/action.js';
import { handler, type Subcommand, subcommand } from '../../src/chat/command.js';
import type { Options } from '../../src/chat/option.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import {
  COOL_BURN_MINUTES,
  EMERGENCIES,
  EMERGENCY_CHOICES,
  type Emergency,
  type EmergencyName,
} from '../../src/safety/emergencies.js';
import { allSourceLines } from '../../src/safety/sources.js';
import {
  HELD_HOT_C,
  HOT_PLACE_C,
  keepOrThrow,
  STANDING_HOURS,
  STANDING_SOURCES,
  STANDING_TIMES,
  type StandingTime,
  WARMTHS,
} from '../../src/safety/stood-out.js';

/** What `/now`, `/fire` and `/burn` say. Nothing is looked up, so that it is said whatever else does not work. */

const TELL = 'now.tell';
const MORE = 'now.more';
const STOOD = 'now.stood';

/** Answers at once whatever was given; `answer` makes of it what it can. */
export function urgent(description: string, options: Options, answer: (said: string) => Reply): Subcommand {
  return {
    ...subcommand({ description, options, work: 'urgent', run: () => answer('') }),
    answer: async (given) => answer(Object.values(given).join(' ')),
  };
}

/** Three lines: the first thing to do is the title. */
export function tell(name: EmergencyName): Reply {
  const { first, next, more }: Emergency = EMERGENCIES[name];
  const ways =
    name === 'stood out'
      ? STANDING_TIMES.map(({ value, label }) => button(label, actionId(STOOD, value)))
      : [];
  return reply({
    title: first,
    lines: next,
    actions: [...ways, ...(more.length > 0 ? [button('More', actionId(MORE, name))] : [])],
    figures: {
      ...(name === 'burn' ? { coolMinutes: COOL_BURN_MINUTES } : {}),
      ...(name === 'stood out' ? STANDING_FIGURES : {}),
    },
  });
}

/** What is safe to do whatever has happened, and one press to the rest. */
export const askWhat = (): Reply =>
  reply({
    title: 'Heat off. Stand back. What is happening?',
    lines: ['Fire: slide a metal lid on, never water. Not out at once? Get out, call your emergency number.'],
    actions: EMERGENCY_CHOICES.map(({ value, label }) =>
      button(label, actionId(TELL, value), value === 'fire' || value === 'burn' ? 'grave' : 'plain'),
    ),
  });

function tellMore(name: EmergencyName): Reply {
  const { label, more, sources }: Emergency = EMERGENCIES[name];
  return reply({
    title: `${label}: what else helps`,
    audience: 'only you',
    lines: more.length > 0 ? more : EMERGENCIES[name].next,
    sources: allSourceLines(sources),
  });
}

const STANDING_FIGURES = {
  standingHours: STANDING_HOURS.usual,
  standingHoursHot: STANDING_HOURS.hot,
  hotPlaceC: HOT_PLACE_C,
  heldHotC: HELD_HOT_C,
} as const;

/** Two presses at most: how long, and how warm where that decides. */
function standing(stood: StandingTime, warmth?: (typeof WARMTHS)[number]['value']): Reply {
  const verdict = keepOrThrow(stood, warmth);
  if (verdict === undefined)
    return reply({
      title: 'How warm was it there?',
      audience: 'only you',
      lines: [`${STANDING_HOURS.usual} hours are the limit, ${STANDING_HOURS.hot} hour above 90 °F (32 °C).`],
      actions: WARMTHS.map(({ value, label }) => button(label, actionId(STOOD, stood, value))),
      figures: STANDING_FIGURES,
    });
  return reply({
    ...VERDICTS[verdict],
    audience: 'only you',
    sources: allSourceLines(STANDING_SOURCES.slice(0, verdict === 'keep' ? 1 : undefined)),
    figures: { ...STANDING_FIGURES, keep: verdict === 'keep' ? 1 : 0 },
  });
}

const VERDICTS = {
  keep: {
    title: 'Keep it. Into the refrigerator or the pot now.',
    lines: [
      'The time counts on: 2 hours out in all, 1 hour above 90 °F (32 °C). Shallow, so that it cools fast.',
    ],
  },
  throw: {
    title: 'Throw it away: raw fat, broth, wet disc, blend.',
    lines: [
      '2 hours out are the limit, 1 hour above 90 °F (32 °C). Boiling it again does not make it safe.',
      'Clear dry tallow alone: no published limit. Chill it; if it smells off, throw it away.',
    ],
  },
} as const;

const names = z.enum(EMERGENCY_CHOICES.map(({ value }) => value) as [EmergencyName, ...EmergencyName[]]);
const times = z.enum(STANDING_TIMES.map(({ value }) => value) as [StandingTime, ...StandingTime[]]);

const press = { audience: 'only you', work: 'urgent' } as const;

/** The handlers of every button that an emergency is answered with. */
export const HANDLERS = {
  [TELL]: handler({ ...press, args: z.tuple([names]), press: ([name]) => tell(name) }),
  [MORE]: handler({ ...press, args: z.tuple([names]), press: ([name]) => tellMore(name) }),
  [STOOD]: handler({
    ...press,
    args: z.tuple([times, z.enum(['usual', 'hot']).optional()]),
    press: ([stood, warmth]) => standing(stood, warmth),
  }),
};
