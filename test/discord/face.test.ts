import pino from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { actionId, button } from '../../src/chat/action.js';
import { type Command, command, deed, formOf } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { wholeNumber, words } from '../../src/chat/options.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { type DiscordFace, startDiscord } from '../../src/discord/face.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';

let standin: StandIn;
const faces: DiscordFace[] = [];
let faults: unknown[] = [];
beforeEach(async () => {
  standin = await startStandIn();
  faults = [];
});
afterEach(async () => {
  for (const face of faces.splice(0)) await face.stop();
  await standin.close();
});

const later = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
const note = { note: words({ description: 'What to note', required: true, maxLength: 100, example: 'it' }) };

const commands: readonly Command[] = [
  command({
    name: 'echo',
    description: 'Says it again',
    deeds: deed({
      description: 'Says it again',
      options: {
        text: words({ description: 'What to say', required: true, maxLength: 4000, example: 'hello' }),
      },
      run: ({ text }) => reply({ title: text, lines: [text, `# ${text}`], figures: {} }),
    }),
  }),
  command({
    name: 'slow',
    description: 'Takes its time',
    deeds: {
      reply: deed({
        description: 'Answers late',
        options: {},
        run: async () => {
          await later(2000);
          return reply({ title: 'Late', lines: [] });
        },
      }),
      refusal: deed({
        description: 'Refuses late',
        options: {},
        run: async () => {
          await later(2000);
          return refusal('No', 'Not today.');
        },
      }),
      form: deed({
        description: 'Asks late',
        options: {},
        run: async () => {
          await later(2000);
          return formOf('v1|slow.form', 'Fill in', note);
        },
      }),
    },
    handlers: {
      'slow.form': {
        who: 'anyone',
        audience: 'only you',
        press: async (_args, fields) =>
          fields.note === undefined
            ? formOf('v1|slow.form', 'Fill in', note)
            : reply({ title: 'Noted', lines: [fields.note] }),
      },
    },
  }),
  command({
    name: 'pick',
    description: 'Offers a button and numbers',
    deeds: {
      one: deed({
        description: 'Offers a button',
        options: {
          number: wholeNumber({
            description: 'Which',
            required: false,
            least: 1,
            most: 99,
            example: '7',
            suggests: true,
          }),
        },
        run: () =>
          reply({ title: 'Pick', lines: [], actions: [button('Seven', actionId('pick.number', 7))] }),
        suggest: async (_option, typed) =>
          [1, 12, 17].map((n) => ({ value: String(n), label: `${typed}? ${n}` })),
      }),
    },
    handlers: {
      'pick.number': {
        who: 'anyone',
        audience: 'everyone',
        press: async ([number]) => reply({ title: `Picked ${number}`, audience: 'only you', lines: [] }),
      },
    },
  }),
  command({
    name: 'broken',
    description: 'Has a fault',
    deeds: deed({
      description: 'Has a fault',
      options: {},
      run: () => {
        throw new Error('a secret detail');
      },
    }),
  }),
];

async function start(overrides: { readonly token?: string; readonly commands?: readonly Command[] } = {}) {
  const face = await startDiscord({
    token: overrides.token ?? standin.token,
    api: standin.api,
    conversation: converse(overrides.commands ?? commands, (error) => faults.push(error)),
    log: pino({ level: 'silent' }),
    clock: () => new Date(),
    fatal: (reason) => faults.push(reason),
  });
  faces.push(face);
  return face;
}

describe('the Discord face', () => {
  it('registers its commands once, and again only when they change', async () => {
    await start();
    expect(standin.world.overwrites).toBe(1);
    await start();
    expect(standin.world.overwrites).toBe(1);
    await start({ commands: commands.slice(1) });
    expect(standin.world.overwrites).toBe(2);
    standin.expectConformant();
  });

  it('answers at once, seen by everyone, with nothing that formats, pings or escapes', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const nasty = '**bold** @everyone <@123> <#9> [a](http://b) ```code``` # head > quote ~~x~~ ||y||';
    const answer = await standin.member(guild, 'Alice').command('/echo', { text: nasty });
    expect(answer.ephemeral).toBe(false);
    expect(answer.deferred).toBe(false);
    expect(answer.text).not.toMatch(/(^|[^\\])(\*\*|~~|\|\||```)/);
    expect(answer.text).not.toMatch(/@everyone|<@\d|<#\d|(^|[^\\])\[a\]\(http/);
    standin.expectConformant();
  });

  it('cuts what is too long for Discord instead of failing', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const answer = await standin.member(guild, 'Alice').command('/echo', { text: '*'.repeat(4000) });
    expect(answer.embeds).toHaveLength(1);
    standin.expectConformant();
  });

  it('shows a waiting notice when the answer takes longer, and then the answer', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const answer = await standin.member(guild, 'Alice').command('/slow reply');
    expect(answer).toMatchObject({ deferred: true, ephemeral: false });
    expect(answer.text).toContain('Late');
    expect(answer.answeredAfterMs).toBeLessThan(2500);
    standin.expectConformant();
  });

  it('tells a late refusal to nobody but the one who asked', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const answer = await standin.member(guild, 'Alice').command('/slow refusal');
    expect(answer).toMatchObject({ deferred: true, ephemeral: true });
    expect(answer.text).toContain('Not today');
    standin.expectConformant();
  });

  it('opens a form, late or not, and takes what is handed in', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const alice = standin.member(guild, 'Alice');
    const offered = await alice.command('/slow form');
    const form = await alice.press(offered, 'Fill it in');
    expect(form.modal?.title).toBe('Fill in');
    const noted = await alice.submit(form, { note: 'a *word*' });
    expect(noted.text).toContain('Noted');
    standin.expectConformant();
  });

  it('answers buttons and suggests while one types', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const alice = standin.member(guild, 'Alice');
    const pressed = await alice.press(await alice.command('/pick one'), 'Seven');
    expect(pressed.text).toContain('Picked 7');
    expect(pressed.ephemeral).toBe(true);
    const choices = await alice.autocomplete('/pick one', { number: '1' }, 'number');
    expect(choices.map(({ value }) => value)).toEqual([1, 12, 17]);
    standin.expectConformant();
  });

  it('works in direct messages', async () => {
    await start();
    const answer = await standin.member(undefined, 'Alice').command('/echo', { text: 'hello' });
    expect(answer.text).toContain('hello');
    standin.expectConformant();
  });

  it('keeps its faults to itself but for a reference', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const answer = await standin.member(guild, 'Alice').command('/broken');
    expect(answer.ephemeral).toBe(true);
    expect(answer.text).toMatch(/reference \d+/);
    expect(answer.text).not.toContain('secret');
    expect(faults).toHaveLength(1);
  });

  it('comes back after the connection is cut, asked to come again, or told to start over', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    await start();
    const alice = standin.member(guild, 'Alice');
    standin.gateway.cut();
    await expect.poll(() => standin.gateway.counts.resumed, { timeout: 10_000 }).toBe(1);
    standin.gateway.askToReconnect();
    await expect.poll(() => standin.gateway.counts.resumed, { timeout: 10_000 }).toBe(2);
    standin.gateway.invalidate();
    await expect.poll(() => standin.gateway.counts.identified, { timeout: 15_000 }).toBe(2);
    expect((await alice.command('/echo', { text: 'still here' })).text).toContain('still here');
    expect(faults).toEqual([]);
  });

  it('is not let in with a wrong token, and says which setting to look at without repeating it', async () => {
    const refused = await start({ token: 'wrong.wrong.wrong' }).catch((error: unknown) => error);
    expect(String(refused)).toContain('DISCORD_TOKEN');
    expect(String(refused)).not.toContain('wrong.wrong');
  });
});

describe('its outbox', () => {
  const post = (channel: string, nonce = 'nonce-of-the-week-2026') => ({
    community: '1',
    channel,
    nonce,
    reply: reply({ title: 'The week', lines: ['A line'], sources: ['somewhere'] }),
  });

  it('posts once for one nonce, even when the connection breaks on the way', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    standin.nextCreateMessage('drop-after');
    const first = await outbox.post(post(channel)).catch(() => undefined);
    const again = await outbox.post(post(channel));
    expect(again.kind).toBe('posted');
    if (first?.kind === 'posted' && again.kind === 'posted') expect(first.message).toBe(again.message);
    expect(standin.messages(channel)).toHaveLength(1);
    standin.expectConformant();
  });

  it('finds what it posted, and nothing that it did not', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    const since = new Date();
    const posted = await outbox.post(post(channel));
    expect(await outbox.find(channel, 'nonce-of-the-week-2026', since)).toBe(
      posted.kind === 'posted' && posted.message,
    );
    expect(await outbox.find(channel, 'another-of-the-week-1', since)).toBeUndefined();
  });

  it('says why a channel is closed', async () => {
    const SEND_MESSAGES = 1n << 11n;
    const guild = standin.addGuild('Ember Lane', [{ name: 'shut', denied: SEND_MESSAGES }, { name: 'gone' }]);
    const { outbox, platform } = await start();
    expect(await outbox.post(post(guild.channel('shut').id))).toMatchObject({ kind: 'closed' });
    expect(await platform.channel(guild.id, 'shut')).toMatchObject({
      missing: ['Send Messages'],
    });
    guild.channel('gone').deleted = true;
    expect(await outbox.post(post(guild.channel('gone').id))).toEqual({
      kind: 'closed',
      why: 'the channel is gone',
    });
  });
});
