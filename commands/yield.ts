import { DateTime } from 'luxon';
import { z } from 'zod';
import type { Call } from '../src/chat/call.js';
import { command, handler, refuseUnreadable, subcommand } from '../src/chat/command.js';
import { type Parsed, parsed, unreadable } from '../src/chat/option.js';
import { choice, percentage } from '../src/chat/options.js';
import { readPastDay } from '../src/chat/when.js';
import { COMPARED, COMPARISON_WORKING, comparing, showComparisonWorking } from '../src/findings/compare.js';
import { nextYield } from '../src/findings/forecast.js';
import { mine } from '../src/findings/mine.js';
import { nextBatch } from '../src/findings/next.js';
import { odd } from '../src/findings/odd.js';
import { pooled } from '../src/findings/pooled.js';
import * as option from '../src/kitchen/options.js';
import { usualKindFor } from '../src/kitchen/with-kit.js';
import type { Pictures } from '../src/pictures/pictures.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { type Kit, kitOf } from '../src/records/kit.js';
import type { Method } from '../src/words/methods.js';

/** `/yield`: what the community's batches say. */
export function yieldCommand(db: Records, pictures: Pictures) {
  return command({
    name: 'yield',
    description: 'What the community’s batches say',
    where: 'server',
    subcommands: {
      pooled: pooledSubcommand(db),
      compare: compareSubcommand(db, pictures),
      forecast: forecastSubcommand(db),
      mine: subcommand({
        description:
          'Your own batches over time, and how you stand, method, cut, weight and time allowed for',
        audience: 'only you',
        work: 'picture',
        options: {},
        run: (_values, call) => mine(db, pictures, call),
      }),
      next: nextSubcommand(db),
      odd: subcommand({
        description: 'Batches that look like typing errors or wet discs, and why',
        work: 'long',
        options: {},
        run: (_values, call) => odd(db, call.community),
      }),
    },
    handlers: {
      [COMPARISON_WORKING]: handler({
        audience: 'only you',
        work: 'long',
        args: z.tuple([z.enum(COMPARED)]),
        press: ([by], _fields, call) => showComparisonWorking(db, call.community, by),
      }),
    },
  });
}

function pooledSubcommand(db: Records) {
  return subcommand({
    description: 'All the tallow over all the fat and what a typical cook gets, with how sure that is',
    options: { since: option.since(), method: option.method(false), cut: option.cut(false) },
    async run({ since, method, cut }, call) {
      const zone = await communityZone(db, call.community);
      const from = readSince(since, zone, call);
      if (!from.ok) return refuseUnreadable([`since: ${from.problem}`]);
      return pooled(db, call.community, { method, cut, from: from.value }, zone);
    },
  });
}

function readSince(text: string | undefined, zone: string, call: Call): Parsed<Date | undefined> {
  if (text === undefined) return parsed(undefined);
  const read = readPastDay(text, call.now, zone);
  return read.ok
    ? parsed(DateTime.fromJSDate(read.value, { zone }).startOf('day').toJSDate())
    : unreadable(read.problem);
}

function compareSubcommand(db: Records, pictures: Pictures) {
  const compare = comparing(pictures);
  return subcommand({
    description: 'Which way gives more tallow, starting weight, time and cook allowed for',
    work: 'picture',
    options: {
      by: choice({
        description: 'What to compare',
        required: true,
        choices: [
          { value: 'method', label: 'Methods' },
          { value: 'cut', label: 'Cuts' },
          { value: 'weight', label: 'Starting weights' },
          { value: 'time', label: 'Times' },
        ],
      }),
    },
    run: ({ by }, call) => compare(db, by, call),
  });
}

function forecastSubcommand(db: Records) {
  return subcommand({
    description: 'How much tallow your next batch will probably give, and how sure that is',
    options: {
      fat: option.fatWeight(true),
      method: option.method(true),
      cut: option.cut(true),
      hours: option.hours('How long it will render; a bare number is hours'),
      kind: option.rawFat(),
    },
    run: ({ fat: fatG, method, cut, hours: minutes, kind: rawFat = 'trimmings' }, call) =>
      nextYield(db, call, { fatG, method, cut, minutes, rawFat }),
  });
}

function nextSubcommand(db: Records) {
  return subcommand({
    description: 'Which batch of yours would teach the community most, and how many settle a question',
    work: 'long',
    options: {
      by: choice({
        description: 'What the community wants to compare; methods and cuts unless said',
        required: false,
        choices: [
          { value: 'method', label: 'Methods' },
          { value: 'cut', label: 'Cuts' },
        ],
      }),
      difference: percentage({
        description: 'A difference worth knowing, in points of yield; 5 unless said',
        required: false,
        leastPercent: 0.5,
        mostPercent: 60,
        example: '5',
      }),
    },
    async run({ by, difference }, call) {
      const kit = await kitOf(db, call);
      return nextBatch(db, call, { by, difference, capacityMl: (method) => capacityMl(kit, method) });
    },
  });
}

/** The largest vessel of a kit for a method; 0 without one. */
const capacityMl = ({ vessels }: Kit, method: Method): number =>
  Math.max(
    0,
    ...vessels.filter(({ kind }) => kind === usualKindFor(method)).map((vessel) => vessel.capacityMl),
  );
