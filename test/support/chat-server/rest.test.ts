import { type ChatInputCommandInteraction, Client, DiscordAPIError, Events, MessageFlags } from 'discord.js';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type StandIn, startStandIn } from './server.js';

// What is expected is from Discord's documentation, by the page named; the client is the real one.

const GUILDS = 1 << 0;
const GUILD_MEMBERS = 1 << 1;

let standin: StandIn;
let client: Client;
beforeEach(async () => {
  standin = await startStandIn();
  client = new Client({ intents: GUILDS, allowedMentions: { parse: [] }, rest: { api: standin.api } });
});
afterEach(async () => {
  await client.destroy();
  await standin.close();
});

async function logIn(): Promise<Client<true>> {
  const ready = new Promise<Client<true>>((resolve) => {
    client.once(Events.ClientReady, resolve);
  });
  await client.login(standin.token);
  const known = await ready;
  await known.application.commands.set([{ name: 'plain', description: 'Says something' }]);
  return known;
}

function onCommand(answer: (asked: ChatInputCommandInteraction) => Promise<unknown>): readonly unknown[] {
  const failures: unknown[] = [];
  client.on(Events.InteractionCreate, (asked) => {
    if (asked.isChatInputCommand()) answer(asked).catch((error: unknown) => failures.push(error));
  });
  return failures;
}

const codesOf = (errors: readonly unknown[]) =>
  errors.map((error) => (error instanceof DiscordAPIError ? error.code : error));

describe('an interaction', () => {
  it('that is delivered twice is answered once', async () => {
    await logIn();
    const alice = standin.member(standin.addGuild('Ember Lane', [{ name: 'rendering' }]), 'Alice');
    const seen: string[] = [];
    const failures = onCommand((asked) => {
      seen.push(asked.id);
      return asked.reply('logged');
    });
    const answer = await alice.command('/plain');
    // Opcodes and Status Codes › JSON: 40060 Interaction has already been acknowledged.
    expect(await alice.repeat(answer)).toBe(40_060);
    expect(seen).toEqual([answer.interactionId, answer.interactionId]);
    await expect.poll(() => codesOf(failures)).toEqual([40_060]);
  });

  it('gets its first further message in the place of the waiting notice, as private as the notice', async () => {
    // Receiving and Responding › Followup Messages.
    await logIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    onCommand(async (asked) => {
      await asked.deferReply({ flags: MessageFlags.Ephemeral });
      await asked.followUp('for one person');
    });
    const answer = await standin.member(guild, 'Alice').command('/plain');
    expect(answer).toMatchObject({ content: 'for one person', ephemeral: true });
    expect(standin.messages(guild.channel('rendering').id)).toHaveLength(1);
  });

  it('is not answered as if it were of another kind', async () => {
    // Receiving and Responding › Interaction Callback Type: 7 is only for components.
    await logIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const failures = onCommand(async (asked) => {
      const body = { type: 7, data: { content: 'changed', allowed_mentions: { parse: [] } } };
      const callback = `/interactions/${asked.id}/${asked.token}/callback` as const;
      await asked.client.rest.post(callback, { auth: false, body }).catch((error: unknown) => {
        failed.push(error);
      });
      await asked.reply('said');
    });
    const failed: unknown[] = [];
    expect((await standin.member(guild, 'Alice').command('/plain')).content).toBe('said');
    expect(codesOf(failed)).toEqual([50_035]);
    expect(failures).toEqual([]);
    expect(() => standin.expectConformant()).toThrow('7 is no answer');
  });
});

describe('what the bot can look up', () => {
  it('is people, members and single messages', async () => {
    const known = await logIn();
    const ember = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const { user } = standin.member(ember, 'Alice');
    await expect.poll(() => known.guilds.cache.has(ember.id)).toBe(true);
    expect((await known.users.fetch(user.id)).username).toBe('Alice');
    const guild = known.guilds.cache.get(ember.id);
    expect((await guild?.members.fetch(user.id))?.user.username).toBe('Alice');
    const channel = await known.channels.fetch(ember.channel('rendering').id);
    if (!channel?.isSendable()) throw new Error('a channel to write in was expected');
    const sent = await channel.send('one');
    await sent.edit('two');
    expect((await channel.messages.fetch({ message: sent.id, force: true })).content).toBe('two');
    await sent.delete();
    const gone = await channel.messages.fetch({ message: sent.id, force: true }).catch((error) => error);
    expect(codesOf([gone])).toEqual([10_008]);
    standin.expectConformant();
  });
});

describe('a client that asks for what only some applications are granted', () => {
  it('is not let in', async () => {
    // Opcodes and Status Codes › Gateway: 4014 Disallowed intents.
    client = new Client({ intents: GUILDS | GUILD_MEMBERS, rest: { api: standin.api } });
    await expect(client.login(standin.token)).rejects.toThrow(/disallowed intents/i);
  });
});
