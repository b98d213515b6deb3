import { describe, expect, it } from 'vitest';
import { type Command, command, subcommand } from '../../src/chat/command.js';
import { type Option, parsed } from '../../src/chat/option.js';
import { refusal } from '../../src/chat/reply.js';
import { registrationOf } from '../../src/discord/registration.js';

const option = (entry: Option<unknown>['entry'], required = false, suggests = false): Option<string> => ({
  description: 'What it is',
  required,
  entry,
  example: 'it',
  suggests,
  parse: parsed,
});
const choices = (count: number) =>
  Array.from({ length: count }, (_, at) => ({ value: `v${at}`, label: `Value ${at}` }));
const answer = { description: 'Does it', run: () => refusal('', '') };

const withOptions = (options: Readonly<Record<string, Option<unknown>>>): Command =>
  command({ name: 'kind', description: 'Does it', subcommands: subcommand({ ...answer, options }) });
const only = (entry: Option<unknown>['entry'], suggests = false) =>
  registrationOf(withOptions({ it: option(entry, false, suggests) })).options?.[0];

// Application Commands › Application Command Option Type: 1 subcommand, 3 string, 4 integer, 5 boolean, 7 channel.
describe('what Discord is told of a command', () => {
  it('has text with its length, and suggestions where there are some', () => {
    expect(only({ kind: 'text', maxLength: 80 })).toMatchObject({ type: 3, max_length: 80 });
    expect(only({ kind: 'text', maxLength: 80 })).not.toHaveProperty('autocomplete');
    expect(only({ kind: 'text', maxLength: 80 }, true)).toMatchObject({ autocomplete: true });
  });

  it('offers up to 25 choices as a list, and more while one types', () => {
    expect(only({ kind: 'choice', choices: choices(25) })).toMatchObject({ type: 3 });
    expect(only({ kind: 'choice', choices: choices(25) })).toHaveProperty('choices.24.value', 'v24');
    expect(only({ kind: 'choice', choices: choices(26) })).toMatchObject({ type: 3, autocomplete: true });
    expect(only({ kind: 'choice', choices: choices(26) })).not.toHaveProperty('choices');
  });

  it('has whole numbers with their range, yes or no, and channels that take posts', () => {
    expect(only({ kind: 'whole number', least: 0, most: 23 })).toMatchObject({
      type: 4,
      min_value: 0,
      max_value: 23,
    });
    expect(only({ kind: 'yes or no' })).toMatchObject({ type: 5 });
    expect(only({ kind: 'channel' })).toMatchObject({ type: 7, channel_types: [0, 5] });
  });

  it('lists required options first and otherwise as declared', () => {
    const text = { kind: 'text', maxLength: 5 } as const;
    const options = { a: option(text), b: option(text, true), c: option(text), d: option(text, true) };
    expect(registrationOf(withOptions(options)).options?.map(({ name }) => name)).toEqual([
      'b',
      'd',
      'a',
      'c',
    ]);
  });

  it('makes several subcommands subcommands', () => {
    const batch = command({
      name: 'batch',
      description: 'Batches',
      subcommands: {
        log: subcommand({ ...answer, options: {} }),
        list: subcommand({ ...answer, options: {} }),
      },
    });
    expect(registrationOf(batch).options).toMatchObject([
      { type: 1, name: 'log' },
      { type: 1, name: 'list' },
    ]);
  });

  // Interaction Context Types: 0 server, 1 direct messages with the bot. Manage Server is bit 5 of the permissions.
  it('says where it works and who may use it', () => {
    const base = { name: 'x', description: 'Does it', subcommands: subcommand({ ...answer, options: {} }) };
    expect(registrationOf(command(base))).toMatchObject({
      contexts: [0, 1],
      integration_types: [0],
      default_member_permissions: null,
    });
    expect(registrationOf(command({ ...base, where: 'server', who: 'managers' }))).toMatchObject({
      contexts: [0],
      default_member_permissions: '32',
    });
  });

  it('cuts a description that is too long', () => {
    const long = { ...option({ kind: 'yes or no' }), description: 'x'.repeat(150) };
    expect(registrationOf(withOptions({ it: long })).options?.[0]?.description).toHaveLength(100);
  });
});
