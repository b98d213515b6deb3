import pino from 'pino';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { allCommands } from '../../commands/index.js';
import { converse } from '../../src/chat/dispatch.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { type DiscordAdapter, startDiscord } from '../../src/discord/adapter.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { composingWith, weeklyPosts } from '../../src/weekly/post.js';
import type { Member } from '../support/chat-server/member.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
import { inOwnCommunity } from '../support/own-community.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

let standin: StandIn;
let database: FreshDatabase;
let db: Records;
let adapter: DiscordAdapter;
let guild: Guild;
let alice: Member;
let bram: Member;
let manager: Member;
let now = new Date('2026-11-25T18:00:00Z');
const faults: unknown[] = [];

beforeAll(async () => {
  standin = await startStandIn();
  guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }, { name: 'shut', denied: 1n << 15n }]);
  alice = standin.member(guild, 'Alice');
  bram = standin.member(guild, 'Bram');
  manager = standin.member(guild, 'Marlow', { manages: true });
  database = await freshDatabase();
  db = inOwnCommunity(openRecords(database.connectionString, () => {}));
  adapter = await startDiscord({
    token: standin.token,
    api: standin.api,
    conversation: converse(allCommands(db), (error) => faults.push(error)),
    log: pino({ level: 'silent' }),
    clock: () => now,
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

describe('a conversation on Discord, from the first question to the weekly post', () => {
  it('has every command registered', () => {
    expect(standin.world.commands.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['water', 'batch', 'yield', 'weekly', 'safety', 'settings', 'help']),
    );
    standin.expectConformant();
  });

  it('a member asks for water', async () => {
    const answer = await alice.command('/water', { fat: '2 lb 8 oz' });
    expect(answer.text).toMatch(/^8 cups/);
    expect(answer.text).toContain('Take care');
    expect(answer.ephemeral).toBe(false);
  });

  it('is told alone what would have worked', async () => {
    const answer = await alice.command('/water', { fat: '4' });
    expect(answer.ephemeral).toBe(true);
    expect(answer.text).toContain('“4 lb” or “4 kg”');
    expect(answer.text).not.toContain('saved');
  });

  it('logs, is asked about a wet disc, and keeps it', async () => {
    const logged = await alice.command('/batch log', {
      fat: '4 lb',
      tallow: '2 lb',
      method: 'open-pot',
      cut: 'ground',
    });
    expect(logged.text).toContain('Batch 1: 50 %');
    const question = await bram.command('/batch log', {
      fat: '1 kg',
      tallow: '800 g',
      method: 'oven',
      cut: 'ground',
    });
    expect(question.ephemeral).toBe(true);
    expect((await bram.press(question, 'Keep it')).text).toContain('Batch 2: 80 %');
    const again = await bram.press(question, 'Keep it');
    expect(again.text).toContain('Batch 2 is kept already');
    expect(again.ephemeral).toBe(true);
  });

  it('never logs one interaction twice', async () => {
    const options = { fat: '2 kg', tallow: '1 kg', method: 'open-pot', cut: 'ground' };
    const interactionId = standin.world.newId();
    await alice.command('/batch log', options, { interactionId });
    await alice.command('/batch log', options, { interactionId });
    expect((await alice.command('/batch list')).text).toContain('3 batches');
  });

  it('corrects in a dialog, and only what is one’s own', async () => {
    const numbers = await alice.autocomplete('/batch correct', { number: '' }, 'number');
    expect(numbers.map(({ value }) => value)).toEqual([3, 1]);
    const found = await alice.autocomplete('/batch show', { number: 'bra' }, 'number');
    expect(found.map(({ value }) => value)).toEqual([2]);
    const form = await alice.command('/batch correct', { number: 1 });
    const corrected = await alice.submit(form, { tallow: '1 lb 15 oz' });
    expect(corrected.text).toContain('Batch 1 is corrected');
    expect((await bram.command('/batch correct', { number: 1, tallow: '1 lb' })).text).toContain(
      'Not your batch',
    );
  });

  it('loses nothing that was typed into a dialog with something unreadable in it', async () => {
    const form = await alice.command('/batch correct', { number: 1 });
    const unread = await alice.submit(form, { taste: 'lovely', note: '👩‍🍳 line one\nline two' });
    expect(unread.ephemeral).toBe(true);
    expect(unread.text).toContain('“lovely” is not one of');
    expect(unread.text).toContain('Nothing was saved');
    const again = await alice.press(unread, 'Open the form again');
    const saved = await alice.submit(again, { taste: 'clean' });
    expect(saved.ephemeral).toBe(false);
    expect(saved.text).toContain('note: none → “👩‍🍳 line one / line two”');
  });

  it('lists, and reads the pooled yield', async () => {
    expect((await bram.command('/batch list')).text).toContain('Bram');
    const pooled = await bram.command('/yield pooled');
    expect(pooled.text).toContain('Pooled yield');
    expect(pooled.text).toContain('3 batches from 2 members');
  });

  it('has its weekly post set by a manager, where the bot may post', async () => {
    const shut = { channel: guild.channel('shut').id, day: 'sunday', hour: 18, zone: 'America/Chicago' };
    expect((await manager.command('/settings weekly', shut)).text).toContain('Attach Files');
    const open = { ...shut, channel: guild.channel('rendering').id };
    await expect(alice.command('/settings weekly', open)).rejects.toThrow('Discord does not let Alice use');
    expect((await manager.command('/settings weekly', open)).text).toContain(
      'Sundays at 18:00 in #rendering',
    );
    const zones = await manager.autocomplete('/settings weekly', { zone: 'chic' }, 'zone');
    expect(zones).toEqual([{ name: 'America/Chicago', value: 'America/Chicago' }]);
  });

  it('has the post sent by those to whom the server opened /settings, and by no others', async () => {
    const pitmaster = standin.member(guild, 'Pim', { roles: ['77'] });
    const settings = standin.world.commands.find(({ name }) => name === 'settings');
    const key = `${guild.id} ${settings?.id}`;
    expect((await pitmaster.command('/weekly post')).text).toContain('Not for you');
    standin.world.commandPermissions.set(key, [{ id: '77', type: 1, permission: false }]);
    expect((await pitmaster.command('/weekly post')).text).toContain('Not for you');
    standin.world.commandPermissions.set(key, [{ id: '77', type: 1, permission: true }]);
    expect((await pitmaster.command('/settings show')).text).toContain('Sundays at 18:00');
    expect((await pitmaster.command('/weekly post')).text).toContain('on its way');
    expect((await alice.command('/weekly post')).text).toContain('Not for you');
    await db.deleteFrom('deliveries').execute();
  });

  it('gets the post at its hour, once, with a caution and no ping', async () => {
    const channel = guild.channel('rendering').id;
    const before = standin.messages(channel).length;
    now = new Date('2026-11-30T00:00:05Z');
    const scheduler = startScheduler({
      db,
      contents: { weekly: weeklyPosts(composingWith(db)) },
      outbox: adapter.outbox,
      application: standin.world.applicationId,
      worker: 'test',
      clock: () => now,
      onFailure: (error) => faults.push(error),
    });
    await scheduler.tick();
    await scheduler.tick();
    await scheduler.stop();
    const posts = standin.messages(channel).slice(before);
    expect(posts).toHaveLength(1);
    expect(JSON.stringify(posts[0]?.body)).toContain('The week in tallow');
    expect(posts[0]?.body.enforce_nonce).toBe(true);
  });

  it('sent nothing that Discord would not have taken', () => {
    standin.expectConformant();
  });
});
