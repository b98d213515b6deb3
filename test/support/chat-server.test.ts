import { existsSync } from 'node:fs';
import {
  ApplicationCommandOptionType,
  ButtonStyle,
  type ChatInputCommandInteraction,
  Client,
  ComponentType,
  DiscordAPIError,
  Events,
  GatewayIntentBits,
  type Interaction,
  MessageFlags,
  REST,
  Routes,
  TextInputStyle,
} from 'discord.js';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Member } from './chat-server/member.js';
import { type StandIn, startStandIn } from './chat-server/server.js';
import type { Guild } from './chat-server/world.js';

// What is expected here is from Discord's documentation, by the page named; the client is the real one.

const SPEC_IS_HERE = existsSync(new URL('../../../shared/discord/openapi.json', import.meta.url));
if (!SPEC_IS_HERE)
  console.info('skipped: what only ../shared/discord/openapi.json refuses, which is not here');

const COMMANDS = [
  { name: 'plain', description: 'Says something' },
  {
    name: 'batch',
    description: 'Batches',
    options: [
      {
        type: ApplicationCommandOptionType.Subcommand as const,
        name: 'log',
        description: 'Logs one',
        options: [
          { type: ApplicationCommandOptionType.String as const, name: 'fat', description: 'How much' },
          { type: ApplicationCommandOptionType.Integer as const, name: 'number', description: 'Which' },
          { type: ApplicationCommandOptionType.Number as const, name: 'share', description: 'What part' },
          { type: ApplicationCommandOptionType.Boolean as const, name: 'cut', description: 'Was it cut' },
          { type: ApplicationCommandOptionType.Channel as const, name: 'where', description: 'Where' },
          {
            type: ApplicationCommandOptionType.String as const,
            name: 'method',
            description: 'How',
            autocomplete: true,
          },
        ],
      },
    ],
  },
];
const BUTTONS = [
  {
    type: ComponentType.ActionRow as const,
    components: [
      {
        type: ComponentType.Button as const,
        style: ButtonStyle.Primary as const,
        label: 'Go on',
        customId: 'go-on',
      },
    ],
  },
];

let standin: StandIn;
let guild: Guild;
let alice: Member;
let client: Client<true>;

beforeEach(async () => {
  standin = await startStandIn();
  guild = standin.addGuild('Ember Lane', [
    { name: 'rendering' },
    { name: 'shut', denied: 1n << 11n },
    { name: 'hidden', denied: 1n << 10n },
  ]);
  alice = standin.member(guild, 'Alice');
  client = await loggedIn();
  await client.application.commands.set(COMMANDS);
});
afterEach(async () => {
  await client.destroy();
  await standin.close();
});

async function loggedIn(): Promise<Client<true>> {
  const fresh = new Client({
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    rest: { api: standin.api },
  });
  const ready = new Promise<Client<true>>((resolve) => fresh.once(Events.ClientReady, resolve));
  await fresh.login(standin.token);
  return ready;
}

/** Has the bot answer commands so, and says what went wrong in it. */
function onCommand(answer: (asked: ChatInputCommandInteraction) => Promise<unknown>): readonly unknown[] {
  const failures: unknown[] = [];
  client.on(Events.InteractionCreate, (asked) => {
    if (asked.isChatInputCommand()) answer(asked).catch((error: unknown) => failures.push(error));
  });
  return failures;
}

const HELLO = { content: 'hello', allowed_mentions: { parse: [] } };

/** Sends a body past the client, which would mend or refuse it; the status when the whole answer has arrived. */
async function send(method: string, path: string, body: unknown): Promise<number> {
  const response = await fetch(`${standin.api}/v10${path}`, {
    method,
    headers: { authorization: `Bot ${standin.token}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  await response.text();
  return response.status;
}

const next = (): Promise<Interaction> =>
  new Promise((resolve) => {
    client.once(Events.InteractionCreate, resolve);
  });

const codeOf = (error: unknown) => (error instanceof DiscordAPIError ? error.code : error);
const rest = () => new REST({ api: standin.api, retries: 0 }).setToken(standin.token);
const refusal = (request: Promise<unknown>) =>
  request.then(
    () => 'taken',
    (error: unknown) => codeOf(error),
  );

describe('the stand-in, to the real client', () => {
  it('lets it log in, shows it the servers, and keeps the commands it registers', async () => {
    expect(client.guilds.cache.map(({ name }) => name)).toEqual(['Ember Lane']);
    const kept = await client.application.commands.fetch();
    expect(kept.map(({ name }) => name)).toEqual(['plain', 'batch']);
    for (const command of COMMANDS)
      expect(kept.find(({ name }) => name === command.name)?.equals(command)).toBe(true);
    expect(standin.world.overwrites).toBe(1);
    standin.expectConformant();
  });

  it('keeps the id of a command that is registered again', async () => {
    // Application Commands › Bulk Overwrite Global Application Commands.
    const before = await client.application.commands.fetch();
    await client.application.commands.set(COMMANDS);
    const after = await client.application.commands.fetch();
    expect([...after.keys()]).toEqual([...before.keys()]);
  });

  it('refuses a wrong token', async () => {
    const other = new Client({ intents: [], rest: { api: standin.api } });
    await expect(other.login('wrong.wrong.wrong')).rejects.toThrow();
    await other.destroy();
  });
});

describe('a member’s command', () => {
  it('arrives with options of the types that were registered', async () => {
    const [asked] = await Promise.all([
      next().then(async (interaction) => {
        if (interaction.isChatInputCommand()) await interaction.reply('logged');
        return interaction;
      }),
      alice.command('/batch log', {
        fat: '4 lb 8 oz',
        number: 3,
        share: 0.25,
        cut: true,
        where: guild.channel('shut').id,
      }),
    ]);
    if (!asked.isChatInputCommand()) throw new Error('not a command');
    expect(asked.options.getSubcommand()).toBe('log');
    expect(asked.options.getString('fat')).toBe('4 lb 8 oz');
    expect(asked.options.getInteger('number')).toBe(3);
    expect(asked.options.getNumber('share')).toBe(0.25);
    expect(asked.options.getBoolean('cut')).toBe(true);
    expect(asked.options.getChannel('where')?.id).toBe(guild.channel('shut').id);
    expect(asked.guildId).toBe(guild.id);
  });

  it('carries what the member may do, and what the bot may do there', async () => {
    onCommand((asked) =>
      asked.reply(
        `${asked.memberPermissions?.has('ManageGuild')} ${asked.appPermissions.has('SendMessages')}`,
      ),
    );
    const marlow = standin.member(guild, 'Marlow', { manages: true });
    expect((await alice.command('/plain')).content).toBe('false true');
    expect((await marlow.command('/plain')).content).toBe('true true');
    const shut = guild.channel('shut').id;
    expect((await alice.command('/plain', {}, { channel: shut })).content).toBe('false false');
  });

  it('arrives from direct messages with a person and no server', async () => {
    onCommand((asked) => asked.reply(`${asked.user.username} ${asked.inGuild()}`));
    expect((await standin.member(undefined, 'Bram').command('/plain')).content).toBe('Bram false');
  });

  it('is rejected when nobody answers within 3 s', async () => {
    await expect(alice.command('/plain')).rejects.toThrow('did not answer within 3000 ms');
  });
});

describe('an answer', () => {
  it('is shown with its text, embeds, files, and whether others see it', async () => {
    onCommand((asked) =>
      asked.reply({
        content: 'Here',
        embeds: [{ title: 'Title', fields: [{ name: 'Water', value: '250 ml' }] }],
        files: [{ attachment: Buffer.from('drawn'), name: 'chart.png', description: 'A line' }],
        flags: MessageFlags.Ephemeral,
      }),
    );
    const answer = await alice.command('/plain');
    expect(answer).toMatchObject({ content: 'Here', ephemeral: true, deferred: false });
    expect(answer.text).toBe('Here\nTitle\nWater\n250 ml');
    expect(answer.files).toEqual([
      { name: 'chart.png', description: 'A line', bytes: new Uint8Array(Buffer.from('drawn')) },
    ]);
    standin.expectConformant();
  });

  it('that was put off is shown when it is there, as private as it was put off', async () => {
    onCommand(async (asked) => {
      await asked.deferReply({ flags: MessageFlags.Ephemeral });
      await asked.editReply('at last');
    });
    expect(await alice.command('/plain')).toMatchObject({
      content: 'at last',
      deferred: true,
      ephemeral: true,
    });
  });

  it('comes back to the bot when it asks for the response', async () => {
    const seen: string[] = [];
    const failures = onCommand(async (asked) => {
      const { resource } = await asked.reply({ content: 'hello', withResponse: true });
      seen.push(resource?.message?.content ?? 'nothing', (await asked.fetchReply()).content);
    });
    await alice.command('/plain');
    await expect.poll(() => [...seen, ...failures]).toEqual(['hello', 'hello']);
  });

  it('can be edited, followed up and deleted', async () => {
    const failures = onCommand(async (asked) => {
      await asked.reply('one');
      await asked.editReply({ content: 'two', files: [{ attachment: Buffer.from('x'), name: 'x.txt' }] });
      await asked.followUp('three');
      await asked.deleteReply();
      await asked.editReply('four');
    });
    await alice.command('/plain');
    // Opcodes and Status Codes › JSON: 10008 Unknown Message.
    await expect.poll(() => failures.map(codeOf)).toEqual([10_008]);
    const left = standin.messages(guild.channel('rendering').id);
    expect(left.map(({ body }) => body.content)).toEqual(['three']);
  });

  it('shows the files that an edit brings', async () => {
    onCommand(async (asked) => {
      await asked.deferReply();
      await asked.editReply({ content: 'first', files: [{ attachment: Buffer.from('a'), name: 'a.png' }] });
      await asked.editReply({ content: 'last', files: [{ attachment: Buffer.from('b'), name: 'b.png' }] });
    });
    await alice.command('/plain');
    const shown = () => standin.messages(guild.channel('rendering').id)[0];
    await expect.poll(() => shown()?.body.content).toBe('last');
    expect(shown()?.files.map(({ name }) => name)).toEqual(['b.png']);
  });

  it('is taken once: 40060 the second time, 10062 after 3 s', async () => {
    // Receiving and Responding › Responding to an Interaction; Opcodes and Status Codes › JSON.
    const [asked] = await Promise.all([
      next().then(async (interaction) => {
        if (!interaction.isChatInputCommand()) throw new Error('not a command');
        await interaction.reply('first');
        return interaction;
      }),
      alice.command('/plain'),
    ]);
    const again = { body: { type: 4, data: { content: 'second', allowed_mentions: { parse: [] } } } };
    const to = Routes.interactionCallback(asked.id, asked.token);
    expect(await refusal(rest().post(to, { ...again, auth: false }))).toBe(40_060);

    const late = next();
    await expect(alice.command('/plain')).rejects.toThrow();
    const interaction = await late;
    if (!interaction.isChatInputCommand()) throw new Error('not a command');
    await expect.poll(() => Date.now() - interaction.createdTimestamp).toBeGreaterThan(3000);
    expect(await refusal(interaction.reply('too late'))).toBe(10_062);
  });
});

describe('buttons, forms and suggestions', () => {
  it('lets a member press a button, and the bot change the message it is on', async () => {
    onCommand((asked) => asked.reply({ content: 'one', components: BUTTONS }));
    client.on(Events.InteractionCreate, (pressed) => {
      if (pressed.isButton()) void pressed.update({ content: `two ${pressed.customId}`, components: [] });
    });
    const changed = await alice.press(await alice.command('/plain'), 'Go on');
    expect(changed).toMatchObject({ content: 'two go-on', buttons: [] });
    expect(standin.messages(guild.channel('rendering').id)).toHaveLength(1);
    standin.expectConformant();
  });

  it('lets the bot put off the change of the message', async () => {
    onCommand((asked) => asked.reply({ content: 'one', components: BUTTONS }));
    client.on(Events.InteractionCreate, async (pressed) => {
      if (!pressed.isButton()) return;
      await pressed.deferUpdate();
      await pressed.editReply('later');
    });
    const changed = await alice.press(await alice.command('/plain'), 'go-on');
    expect(changed).toMatchObject({ content: 'later' });
    expect(standin.messages(guild.channel('rendering').id)).toHaveLength(1);
  });

  it('lets the bot answer a button with a new message', async () => {
    onCommand((asked) => asked.reply({ content: 'one', components: BUTTONS }));
    client.on(Events.InteractionCreate, (pressed) => {
      if (pressed.isButton()) void pressed.reply('another');
    });
    const answer = await alice.press(await alice.command('/plain'), 'go-on');
    expect(answer.content).toBe('another');
    expect(standin.messages(guild.channel('rendering').id)).toHaveLength(2);
  });

  it('lets a member fill in a form; what is not typed is what stood there', async () => {
    const input = (customId: string, value: string) => ({
      type: ComponentType.ActionRow as const,
      components: [
        {
          type: ComponentType.TextInput as const,
          customId,
          label: customId,
          style: TextInputStyle.Short as const,
          value,
        },
      ],
    });
    onCommand((asked) =>
      asked.showModal({
        customId: 'form',
        title: 'A form',
        components: [input('fat', '1 kg'), input('water', '250 ml')],
      }),
    );
    client.on(Events.InteractionCreate, (sent) => {
      if (!sent.isModalSubmit()) return;
      const typed = ['fat', 'water'].map((field) => sent.fields.getTextInputValue(field));
      void sent.reply(`${sent.customId}: ${typed.join(', ')}`);
    });
    const form = await alice.command('/plain');
    expect(form.modal).toMatchObject({ title: 'A form' });
    expect((await alice.submit(form, { fat: '4 lb' })).content).toBe('form: 4 lb, 250 ml');
    standin.expectConformant();
  });

  it('asks the bot for suggestions to what is being typed', async () => {
    client.on(Events.InteractionCreate, (asked) => {
      if (!asked.isAutocomplete()) return;
      const { name, value } = asked.options.getFocused(true);
      void asked.respond([{ name: `${name} ${value}`, value: asked.options.getString('fat') ?? '' }]);
    });
    const choices = await alice.autocomplete('/batch log', { fat: '1 kg', method: 'pr' }, 'method');
    expect(choices).toEqual([{ name: 'method pr', value: '1 kg' }]);
    standin.expectConformant();
  });
});

describe('messages that nobody asked for', () => {
  const post = (channelId: string, content: string, nonce?: string) =>
    rest().post(Routes.channelMessages(channelId), {
      body: {
        content,
        allowed_mentions: { parse: [] },
        ...(nonce === undefined ? {} : { nonce, enforce_nonce: true }),
      },
    });

  it('are one for one nonce', async () => {
    // Message › Create Message, `enforce_nonce`.
    const channel = guild.channel('rendering').id;
    const first = await post(channel, 'weekly', 'week-47');
    expect(await post(channel, 'weekly', 'week-47')).toEqual(first);
    await post(channel, 'weekly', 'week-48');
    expect(standin.messages(channel)).toHaveLength(2);
  });

  it('are listed newest first, without those that only one person sees', async () => {
    // Message › Get Channel Messages.
    onCommand((asked) => asked.reply({ content: 'secret', flags: MessageFlags.Ephemeral }));
    const channel = guild.channel('rendering').id;
    for (const content of ['1', '2', '3', '4']) await post(channel, content);
    await alice.command('/plain');
    const listed = async (query: Record<string, string>) => {
      const found: unknown = await rest().get(Routes.channelMessages(channel), {
        query: new URLSearchParams(query),
      });
      return Array.isArray(found) ? found.map(({ content }) => content) : found;
    };
    const [oldest] = standin.messages(channel);
    expect(await listed({})).toEqual(['4', '3', '2', '1']);
    expect(await listed({ limit: '2' })).toEqual(['4', '3']);
    expect(await listed({ after: oldest?.id ?? '', limit: '2' })).toEqual(['3', '2']);
    standin.expectConformant();
  });

  it('reach a person', async () => {
    const bram = standin.member(undefined, 'Bram');
    const user = await client.users.createDM(bram.user.id);
    await user.send('hello');
    expect(standin.messages(user.id).map(({ body }) => body.content)).toEqual(['hello']);
    const fetched = await client.channels.fetch(user.id, { force: true });
    expect(fetched?.isDMBased()).toBe(true);
  });

  it.each([
    ['shut', 50_013],
    ['hidden', 50_001],
  ])('are refused in the channel “%s” with %i', async (name, code) => {
    const failed = await post(guild.channel(name).id, 'hello').catch((error: unknown) => error);
    expect(codeOf(failed)).toBe(code);
    expect(standin.messages(guild.channel(name).id)).toEqual([]);
  });

  it('are refused in a channel that is gone, with 10003', async () => {
    guild.channel('rendering').deleted = true;
    expect(await refusal(post(guild.channel('rendering').id, 'hello'))).toBe(10_003);
  });

  it.each([
    ['drop-before', 0],
    ['drop-during', 1],
    ['drop-after', 1],
    [{ status: 500 }, 0],
    [{ status: 429, retryAfter: 0.1 }, 0],
  ] as const)('can fail on the way: %j leaves %i of them', async (fault, kept) => {
    const channel = guild.channel('rendering').id;
    standin.nextCreateMessage(fault);
    const outcome = await send('POST', `/channels/${channel}/messages`, HELLO).catch(() => 'broken');
    expect(outcome).toBe(typeof fault === 'object' ? fault.status : 'broken');
    expect(standin.messages(channel)).toHaveLength(kept);
  });
});

describe('the connection', () => {
  it('is resumed after a cut, and what happened meanwhile arrives', async () => {
    onCommand((asked) => asked.reply('still here'));
    standin.gateway.cut();
    expect((await alice.command('/plain')).content).toBe('still here');
    expect(standin.gateway.counts).toEqual({ identified: 1, resumed: 1 });
  });

  it('is resumed when the server asks for it, and made anew when the session is gone', async () => {
    onCommand((asked) => asked.reply('still here'));
    standin.gateway.askToReconnect();
    await expect.poll(() => standin.gateway.counts.resumed, { timeout: 10_000 }).toBe(1);
    standin.gateway.invalidate();
    await expect.poll(() => standin.gateway.counts.identified, { timeout: 15_000 }).toBe(2);
    expect((await alice.command('/plain')).content).toBe('still here');
  });
});

describe('what Discord would not take', () => {
  const command = (more: object) => [{ name: 'plain', description: 'Says something', ...more }];
  const option = (more: object) => ({ type: 3, name: 'fat', description: 'How much', ...more });
  const button = (more: object) => ({ type: 2, style: 1, label: 'Go on', custom_id: 'go-on', ...more });
  const withButtons = (...components: readonly object[]) => ({
    ...HELLO,
    components: [{ type: 1, components }],
  });

  async function refused(method: string, path: string, body: unknown): Promise<void> {
    expect(await send(method, path, body)).toBe(400);
    expect(standin.violations.length).toBeGreaterThan(0);
    expect(() => standin.expectConformant()).toThrow('Discord would not have taken');
  }
  const commandsPath = () => `/applications/${standin.world.applicationId}/commands`;
  const messagesPath = () => `/channels/${guild.channel('rendering').id}/messages`;

  it('is nothing of a well-formed message or command', async () => {
    expect(await send('PUT', commandsPath(), command({ options: [option({ required: true })] }))).toBe(200);
    expect(await send('POST', messagesPath(), withButtons(button({})))).toBe(200);
    standin.expectConformant();
  });

  // Application Commands › Application Command Naming, Structure and Option Structure.
  it.each([
    ['upper case in a name', command({ name: 'Plain' })],
    ['a space in a name', command({ name: 'plain text' })],
    ['no description', [{ name: 'plain' }]],
    ['two commands of one name', [...command({}), ...command({})]],
    ['two options of one name', command({ options: [option({}), option({})] })],
    [
      'a required option after another',
      command({ options: [option({}), option({ name: 'water', required: true })] }),
    ],
    [
      'more than 8,000 characters together',
      command({
        options: Array.from({ length: 25 }, (_, at) =>
          option({
            name: `fat-${at}`,
            choices: Array.from({ length: 6 }, (__, n) => ({ name: `${n}`.repeat(60), value: `${n}` })),
          }),
        ),
      }),
    ],
  ])('is refused in a command, and held against the bot: %s', async (_, body) => {
    await refused('PUT', commandsPath(), body);
    expect(standin.world.overwrites).toBe(1);
  });

  // Message › Create Message, Embed Limits; Component Reference › Action Row, Button.
  it.each([
    ['no content at all', { allowed_mentions: { parse: [] } }],
    ['2,001 characters', { ...HELLO, content: 'x'.repeat(2001) }],
    [
      'embeds of 6,001 characters together',
      { ...HELLO, embeds: [{ description: 'x'.repeat(3000) }, { description: 'x'.repeat(3001) }] },
    ],
    ['an embed field without a value', { ...HELLO, embeds: [{ fields: [{ name: 'Water', value: '' }] }] }],
    ['a button without an id', withButtons(button({ custom_id: undefined }))],
    ['two buttons of one id', withButtons(button({}), button({}))],
    [
      'six rows',
      {
        ...HELLO,
        components: Array.from({ length: 6 }, (_, at) => ({
          type: 1,
          components: [button({ custom_id: `${at}` })],
        })),
      },
    ],
  ])('is refused in a message, and held against the bot: %s', async (_, body) => {
    await refused('POST', messagesPath(), body);
    expect(standin.messages(guild.channel('rendering').id)).toEqual([]);
  });

  it.skipIf(!SPEC_IS_HERE).each([
    [
      'a description of 101 characters',
      () => ['PUT', commandsPath(), command({ description: 'x'.repeat(101) })],
    ],
    [
      '26 options',
      () => [
        'PUT',
        commandsPath(),
        command({ options: Array.from({ length: 26 }, (_, at) => option({ name: `fat-${at}` })) }),
      ],
    ],
    [
      'six buttons in a row',
      () => [
        'POST',
        messagesPath(),
        withButtons(...Array.from({ length: 6 }, (_, at) => button({ custom_id: `${at}` }))),
      ],
    ],
    ['a number for its text', () => ['POST', messagesPath(), { ...HELLO, content: 5 }]],
  ] as const)('is refused by Discord’s own description: %s', async (_, request) => {
    const [method, path, body] = request();
    await refused(String(method), String(path), body);
  });

  it('is refused in a first answer too, which can then still be given', async () => {
    const refusals: unknown[] = [];
    onCommand(async (asked) => {
      await asked.reply({ content: 'x'.repeat(2001) }).catch((error) => refusals.push(codeOf(error)));
      await asked.reply('shorter');
    });
    expect((await alice.command('/plain')).content).toBe('shorter');
    // Opcodes and Status Codes › JSON: 50035 Invalid Form Body.
    expect(refusals).toEqual([50_035]);
    expect(standin.violations.length).toBeGreaterThan(0);
  });
});
