import { describe, expect, it, vi } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { sameCommands } from '../../src/discord/sync-commands.js';
import { setStage } from './stage.js';

const stage = setStage();

const ours = [
  {
    type: 1,
    name: 'water',
    description: 'How much water',
    contexts: [0, 1],
    integration_types: [0],
    default_member_permissions: null,
    options: [
      { type: 3, name: 'fat', description: 'How much', required: true, max_length: 60 },
      {
        type: 3,
        name: 'cut',
        description: 'How',
        required: false,
        choices: [{ name: 'Ground', value: 'ground' }],
      },
    ],
  },
  {
    type: 1,
    name: 'help',
    description: 'What there is',
    contexts: [0, 1],
    integration_types: [0],
    options: [],
  },
];

/** As Discord gives it back (Application Commands › Application Command Structure). */
const asRegistered = (commands: readonly (typeof ours)[number][]) =>
  commands.toReversed().map(({ options, ...command }, at) => ({
    ...command,
    id: String(at),
    application_id: '1',
    version: '2',
    default_member_permissions: null,
    dm_permission: true,
    nsfw: false,
    name_localizations: null,
    description_localizations: null,
    ...(options.length > 0
      ? { options: options.map(({ required, ...option }) => (required ? { required, ...option } : option)) }
      : {}),
  }));

describe('whether Discord knows the commands already', () => {
  it('sees past what Discord adds, leaves out and orders in its own way', () => {
    expect(sameCommands(asRegistered(ours), ours)).toBe(true);
  });

  it.each([
    ['a description', [{ ...ours[0], description: 'Other' }, ours[1]]],
    ['who may use it', [{ ...ours[0], default_member_permissions: '32' }, ours[1]]],
    ['where it works', [{ ...ours[0], contexts: [0] }, ours[1]]],
    ['an option', [{ ...ours[0], options: ours[0]?.options.slice(0, 1) }, ours[1]]],
    ['the order of options', [{ ...ours[0], options: ours[0]?.options.toReversed() }, ours[1]]],
    ['one more command', [...ours, { ...ours[1], name: 'kit' }]],
    ['one command less', ours.slice(1)],
  ])('notices a change of %s', (_what, wanted) => {
    expect(sameCommands(asRegistered(ours), wanted)).toBe(false);
  });
});

describe('commands that Discord does not take at first', () => {
  it('are tried again in the background, while everything else goes on', async () => {
    const { standin, guild, alice, log, start } = stage();
    await start();
    standin.next('commands', { status: 500 }, { status: 500 }, { status: 500 }, { status: 500 });
    standin.world.overwrites = 0;
    const { outbox } = await start({ commands: [], isPatient: false });
    expect((await alice.command('/quick reply')).deferred).toBe(false);
    const channel = guild.channel('rendering').id;
    const said = reply({ title: 'The week', lines: [] });
    expect(await outbox.post({ community: guild.id, channel, nonce: 'one', reply: said })).toMatchObject({
      kind: 'posted',
    });
    await vi.waitUntil(() => standin.world.overwrites === 1, { timeout: 15_000 });
    const warned = log.map((line) => JSON.parse(line)).filter(({ level }) => level === 40);
    expect(warned).toHaveLength(1);
    expect(warned[0]).toMatchObject({ status: 500, waitMs: 5000 });
    expect(JSON.stringify(warned)).not.toContain('stack');
  });

  it('wait as long as Discord says, and nothing waits with them', async () => {
    const { standin, guild, log, start } = stage();
    standin.next('commands', { status: 429, retryAfter: 3600 });
    const adapter = await start({ isPatient: false });
    await vi.waitUntil(() => log.some((line) => line.includes('did not take the commands')));
    const warned = log.map((line) => JSON.parse(line)).find(({ msg }) => msg.includes('did not take'));
    expect(warned.waitMs).toBeGreaterThanOrEqual(3_600_000);
    const said = reply({ title: 'The week', lines: [] });
    const channel = guild.channel('rendering').id;
    expect(
      await adapter.outbox.post({ community: guild.id, channel, nonce: 'one', reply: said }),
    ).toMatchObject({ kind: 'posted' });
    // Nor does the end of the bot.
    await adapter.stop();
  });
});
