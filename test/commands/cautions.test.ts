import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PLAN_OPTIONS } from '../../commands/plan/asked.js';
import { cautionsAtSteps } from '../../commands/plan/cautions.js';
import { plannedFor } from '../../commands/plan.js';
import { type Call, TERMINAL } from '../../src/chat/call.js';
import { parseOptions } from '../../src/chat/option.js';
import { cautionsOf, isRefusal } from '../../src/chat/reply.js';
import { readLine } from '../../src/console/line.js';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { CALCULATIONS, lineOf } from '../support/generated-calls.js';
import { anyChannel, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const CALLS_OF_EACH = 80;
const MONTHS = ['2026-01-10', '2026-04-10', '2026-07-10', '2026-10-10'];

/** Some hundreds of calls, the same each time, over the seasons; and logs with and without notes. */
function calls(): readonly (readonly [line: string, now: string])[] {
  const asked = CALCULATIONS.flatMap(([command, given]) =>
    fc.sample(given, { numRuns: CALLS_OF_EACH, seed: 12 }).map((one) => lineOf(command, one)),
  );
  const fixed = [
    '/water fat:"4 lb" fat-temperature:"0 F" method:slow-cooker',
    '/water fat:"4 lb" fat-temperature:"0 F" method:oven',
    '/water fat:"4 lb" fat-temperature:"60 F"',
    '/plan fat:"20 lb" vessel:"8 qt"',
    '/plan fat:"20 lb" vessel:"8 qt" cut:cubed',
    '/plan fat:"4 lb" minutes:"16 h" night:yes',
    '/plan meals:30 frozen:yes smoke:heavy',
    '/plan fat:"5 lb" method:pressure frozen:yes',
  ];
  const notes = [
    'stood out all night',
    'with garlic',
    'cleared with clay',
    'made soap with lye',
    'smells rancid',
  ];
  const more = ['fed the dog', 'reused oil', 'used for fries', 'sold it', 'washed twice', 'with butter'];
  const logs = [...Array.from({ length: 60 }, () => undefined), ...notes, ...more].map(
    (note, at) =>
      `/batch log fat:"${1000 + 7 * at} g" tallow:"${450 + 3 * at} g" method:open-pot cut:ground minutes:"180"${note ? ` note:"${note}"` : ''}`,
  );
  return [...asked, ...fixed, ...logs].map((line, at) => [line, `${MONTHS[at % 4]}T12:00:00Z`]);
}

async function repliesTo(lines: ReturnType<typeof calls>) {
  const replies = [];
  for (const [line, now] of lines) {
    const outcome = await talk.hear(line, { now });
    if (outcome.kind === 'reply') replies.push(outcome);
  }
  return replies;
}

const callAt = (now: string): Call => ({
  member: { id: 'Tansy', name: 'Tansy', mayManage: false },
  community: 'ember-lane',
  where: 'server',
  channel: undefined,
  interaction: 'planned',
  now: new Date(now),
  platform: anyChannel,
  application: TERMINAL,
  saved: () => {},
  missed: (error) => {
    throw error;
  },
});

/** Of the plans among the calls, what stands at each step. */
async function atSteps(): Promise<readonly string[]> {
  const shown: string[] = [];
  for (const [line, now] of calls()) {
    const read = readLine(line);
    if (!read.ok || read.request.kind !== 'command' || read.request.path[0] !== 'plan') continue;
    const parsed = parseOptions(PLAN_OPTIONS, read.request.given);
    if (!parsed.ok) continue;
    const planned = await plannedFor(talk.db, parsed.values, callAt(now));
    if (!isRefusal(planned)) shown.push(...[...cautionsAtSteps(planned).values()].map(({ id }) => id));
  }
  return shown;
}

describe('cautions over some hundreds of calls', () => {
  let replies: Awaited<ReturnType<typeof repliesTo>> = [];
  beforeAll(async () => {
    replies = await repliesTo(calls());
  }, 300_000);

  it('are one to an answer, and none stands under more than a quarter of them', async () => {
    const shown = replies.flatMap(({ caution }) => (caution ? [caution.id] : []));
    expect(shown.length).toBe(replies.length);
    const most = Math.max(...CAUTIONS.map(({ id }) => shown.filter((one) => one === id).length));
    expect(most / replies.length).toBeLessThanOrEqual(0.25);
  }, 300_000);

  it('are all reached: under an answer, or at a step of a plan', async () => {
    const shown = replies.flatMap((reply) => cautionsOf(reply).map(({ id }) => id));
    const reached = new Set([...shown, ...(await atSteps())]);
    // Those of a tasting stand under its answers: test/tastings.
    const ofCooking = CAUTIONS.filter(({ id }) => !id.startsWith('taste-'));
    expect(ofCooking.filter(({ id }) => !reached.has(id)).map(({ id }) => id)).toEqual([]);
  }, 300_000);
});
