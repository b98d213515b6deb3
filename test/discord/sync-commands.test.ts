import { describe, expect, it } from 'vitest';
import { sameCommands } from '../../src/discord/sync-commands.js';

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
