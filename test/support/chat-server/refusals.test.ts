import { describe, expect, it } from 'vitest';
import { conformanceCheck, SPEC_IS_HERE } from './conformance.js';
import { messageProblems } from './refusals.js';

// Component Reference, and Message › Create Message, in Discord's documentation.

const QUIET = { allowed_mentions: { parse: [] } };
const withButton = (button: object) => ({
  ...QUIET,
  components: [{ type: 1, components: [{ type: 2, ...button }] }],
});
const TEXT = { type: 10, content: 'hello' };
const NEW_KIND = 1 << 15;

describe('components', () => {
  it.each([
    ['a link without url', withButton({ style: 5, label: 'Go' })],
    [
      'a link with custom_id',
      withButton({ style: 5, label: 'Go', url: 'https://a.example', custom_id: 'a' }),
    ],
    ['a button without custom_id', withButton({ style: 1, label: 'Go' })],
    ['a button without label', withButton({ style: 1, custom_id: 'a' })],
    ['components of the newer kind without their flag', { ...QUIET, components: [TEXT] }],
    [
      'content or embeds beside components of the newer kind',
      { ...QUIET, flags: NEW_KIND, content: 'hello', components: [TEXT] },
    ],
  ])('are refused: %s', (problem, message) => {
    expect(messageProblems(message, true, false)).toEqual([problem]);
  });

  it.each([
    ['a link', withButton({ style: 5, label: 'Go', url: 'https://a.example' })],
    ['a button with an emoji for a label', withButton({ style: 1, custom_id: 'a', emoji: { name: '🫙' } })],
    ['more than five of the newer kind', { ...QUIET, flags: NEW_KIND, components: Array(6).fill(TEXT) }],
  ])('are taken: %s', (_, message) => {
    expect(messageProblems(message, true, false)).toEqual([]);
  });
});

describe('mentions', () => {
  // Message › Allowed Mentions.
  it.each([
    ['nothing is said of them', {}],
    ['some kind is let through', { allowed_mentions: { parse: ['everyone'] } }],
    ['somebody is named', { allowed_mentions: { parse: [], users: ['1'] } }],
    ['whoever is replied to is pinged', { allowed_mentions: { parse: [], replied_user: true } }],
  ])('are not switched off where %s', (_, mentions) => {
    expect(messageProblems({ content: 'hello', ...mentions }, true, false)).toEqual([
      'mentions are not switched off',
    ]);
  });
});

describe.skipIf(!SPEC_IS_HERE)('keys that Discord does not know', () => {
  const check = conformanceCheck();
  const MESSAGES = '/channels/{channel_id}/messages';
  const COMMANDS = '/applications/{application_id}/commands';

  it.each([
    ['contnet', { contnet: 'hello' }],
    ['embeds/0/fields/0/inlin', { embeds: [{ fields: [{ name: 'a', value: 'b', inlin: true }] }] }],
    ['components/0/components/0/lable', withButton({ style: 1, custom_id: 'a', lable: 'Go' })],
  ])('are found in a message: %s', (key, message) => {
    expect(check('post', MESSAGES, message)).toEqual([`post ${MESSAGES} /${key} is not known to Discord`]);
  });

  it('are found in an option, by what that kind of option may have', () => {
    const withOption = (option: object) => [
      { name: 'water', description: 'Water', options: [{ name: 'fat', description: 'Fat', ...option }] },
    ];
    expect(check('put', COMMANDS, withOption({ type: 4, min_value: 1 }))).toEqual([]);
    expect(check('put', COMMANDS, withOption({ type: 3, min_value: 1 }))).toEqual([
      `put ${COMMANDS} /0/options/0/min_value is not known to Discord`,
    ]);
  });

  it('are not what the client always sends along', () => {
    expect(check('post', MESSAGES, { content: 'hello', tts: false, enforce_nonce: false })).toEqual([]);
  });
});
