import pino from 'pino';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { allCommands } from '../../commands/index.js';
import { converse } from '../../src/chat/dispatch.js';
import { type DiscordAdapter, startDiscord } from '../../src/discord/adapter.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { sheetOf } from '../../src/records/tasting-seats.js';
import type { Answer, Member } from '../support/chat-server/member.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
import { inOwnCommunity } from '../support/own-community.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

const ASSESSORS = 12;

let standin: StandIn;
let database: FreshDatabase;
let db: Records;
let adapter: DiscordAdapter;
let guild: Guild;
let opener: Member;
let server: Member;
let assessors: readonly Member[];
const faults: unknown[] = [];

beforeAll(async () => {
  standin = await startStandIn();
  guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
  opener = standin.member(guild, 'Alice');
  server = standin.member(guild, 'Sorrel');
  assessors = Array.from({ length: ASSESSORS }, (_, at) => standin.member(guild, `Taster ${at + 1}`));
  database = await freshDatabase();
  db = inOwnCommunity(openRecords(database.connectionString, () => {}));
  adapter = await startDiscord({
    token: standin.token,
    api: standin.api,
    conversation: converse(allCommands(db), (error) => faults.push(error)),
    log: pino({ level: 'silent' }),
    clock: () => new Date('2026-11-25T18:00:00Z'),
    fatal: (reason) => faults.push(reason),
  });
  await vi.waitUntil(() => standin.world.commands.length > 0);
});
afterAll(async () => {
  await adapter.stop();
  await standin.close();
  await db.destroy();
  await database.drop();
  expect(faults).toEqual([]);
});

/** Everything that Discord hands to the person who sees an answer. */
const payloadOf = ({ embeds, content, components, files }: Answer) =>
  JSON.stringify({ embeds, content, components, files: files.map(({ name }) => name) });

describe('a triangle test with 12 assessors on Discord', () => {
  const seats: Answer[] = [];
  let opened: Answer;

  it('is opened for everyone to see, and served by one who alone sees the sheet', async () => {
    opened = await opener.command('/tasting open', {
      kind: 'triangle',
      compare: 'one wash, two washes',
      tasters: ASSESSORS,
    });
    expect(opened.ephemeral).toBe(false);
    expect(opened.text).toContain('12 tasters show it 26 times in 100: too few');
    const told = await server.press(opened, 'I serve');
    expect(told.ephemeral).toBe(true);
    const sheet = await server.press(told, 'The sheet');
    expect(sheet.ephemeral).toBe(true);
    expect(sheet.text).toContain('A is one wash and B is two washes');
    expect((await opener.press(opened, 'I serve')).text).toContain('Somebody else serves');
    expect((await server.press(opened, 'I taste')).text).toContain('cannot taste blind');
  });

  it('gives each assessor codes in order and nothing else', async () => {
    for (const assessor of assessors) seats.push(await assessor.press(opened, 'I taste'));
    const rows = await sheetOf(db, guild.id, 1);
    const everyCode = rows.flatMap(({ cups }) => cups.map(({ code }) => code));
    expect(new Set(everyCode).size).toBe(3 * ASSESSORS);
    for (const [at, seat] of seats.entries()) {
      const own = rows[at]?.cups.map(({ code }) => code) ?? [];
      const payload = payloadOf(seat);
      expect(seat.ephemeral).toBe(true);
      // what is in the cups is named nowhere, and nobody else's cups are
      expect(payload).not.toMatch(/wash|product|\bA\b|\bB\b/);
      expect(everyCode.filter((code) => payload.includes(code))).toEqual(own);
      // the ids of the buttons hold the tasting and the code on the cup, and so no more than its label
      expect(seat.buttons).toEqual(own.map((code) => ({ label: code, id: `v1|tasting.answer|1|${code}` })));
      const styles = seat.components.flatMap((row) => JSON.stringify(row).match(/"style":\d/g) ?? []);
      expect(new Set(styles).size).toBe(1);
    }
  });

  it('takes their answers, tells nobody who was right, and lets them change', async () => {
    const rows = await sheetOf(db, guild.id, 1);
    for (const [at, assessor] of assessors.entries()) {
      const { cups = [] } = rows[at] ?? {};
      const odd = cups.find((cup) => cups.filter(({ product }) => product === cup.product).length === 1);
      const other = cups.find((cup) => cup !== odd);
      const right = at < 9;
      if (at === 0) await assessor.press(seats[at] ?? opened, other?.code ?? '');
      const answer = await assessor.press(seats[at] ?? opened, (right ? odd : other)?.code ?? '');
      expect(answer.ephemeral).toBe(true);
      const picked = (right ? odd : other)?.code ?? '';
      // right and wrong answers are met with the same words
      expect(
        answer.text
          .replaceAll(picked, 'CODE')
          .replace('It takes the place of the one before.', 'It counts once.'),
      ).toBe(
        'Your answer: CODE\nIt counts once.\nYou can change it until the close, with the same buttons. What came out is told then, to all at once.',
      );
    }
    expect((await opener.command('/tasting result', { number: 1 })).text).toContain('still open');
    const list = await opener.command('/tasting list');
    expect(payloadOf(list)).toMatch(/open/);
    expect(payloadOf(list)).not.toMatch(/\b9\b/);
    const stranger = standin.member(guild, 'Thistle');
    expect((await stranger.press(seats[0] ?? opened, seats[0]?.buttons[0]?.label ?? '')).text).toContain(
      'You have no seat there',
    );
  });

  it('tells everyone what came out once it is closed, with a picture behind a button', async () => {
    const result = await server.command('/tasting close', { number: 1 });
    expect(result.ephemeral).toBe(false);
    // 8 of 12 at 5 %: ISO 4120, table A.1
    expect(result.text).toContain(
      '9 of 12 picked the odd one. By guessing alone 4 would. There is a difference.',
    );
    const figures = await opener.press(result, 'Figures');
    expect(figures.ephemeral).toBe(true);
    expect(figures.files.map(({ name }) => name)).toEqual(['tasting-1.png']);
    expect(figures.text).toContain('Right needed at 5 %');
    const [late = opener] = assessors;
    expect((await late.press(seats[0] ?? opened, seats[0]?.buttons[1]?.label ?? '')).text).toContain(
      'Tasting 1 is closed',
    );
    standin.expectConformant();
  });
});
