import { describe, expect, it } from 'vitest';
import type { Origin } from '../../src/chat/call.js';
import { command, subcommand } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { type Choice, type Option, parsed } from '../../src/chat/option.js';
import { reply } from '../../src/chat/reply.js';
import { suggestionsFor } from '../../src/discord/suggestions.js';

const call: Origin = {
  member: { id: '1', name: 'Alice', mayManage: false },
  community: '1',
  where: 'server',
  channel: '1',
  interaction: '1',
  now: new Date(0),
  platform: { channel: async () => undefined, messageLink: () => undefined },
  application: 'terminal',
};

const ask = (entry: Option<unknown>['entry'], suggested: readonly Choice[], typed = '') => {
  const it: Option<string> = {
    description: 'It',
    required: false,
    entry,
    example: 'it',
    suggests: true,
    parse: parsed,
  };
  const tell = command({
    name: 'tell',
    description: 'Tells',
    subcommands: subcommand({
      description: 'Tells',
      options: { it },
      run: () => reply({ title: 'Told', lines: [] }),
      suggest: async () => suggested,
    }),
  });
  const conversation = converse([tell], () => {});
  return suggestionsFor(conversation, { path: ['tell'], given: {} }, { name: 'it', value: typed }, call);
};

const choice = (value: string, label = value): Choice => ({ value, label });
const text = { kind: 'text', maxLength: 200 } as const;

// Application Commands › Option Choice Structure, Autocomplete: 25 choices, name and value of 1 to 100 characters.
describe('suggestions', () => {
  it('are at most 25', async () => {
    const many = Array.from({ length: 40 }, (_, at) => choice(`v${at}`));
    expect(await ask(text, many)).toHaveLength(25);
  });

  it('have names that fit, and leave out a value that does not, which cut would be another', async () => {
    expect(
      await ask(text, [choice('a', 'x'.repeat(150)), choice('y'.repeat(101)), choice('b', ' ')]),
    ).toEqual([
      { name: `${'x'.repeat(99)}…`, value: 'a' },
      { name: '…', value: 'b' },
    ]);
  });

  it('are whole numbers for a whole number', async () => {
    expect(await ask({ kind: 'whole number', least: 1, most: 9 }, [choice('3'), choice('x')])).toEqual([
      { name: '3', value: 3 },
    ]);
  });

  it('come from the choices themselves where these are too many for a list', async () => {
    const choices = Array.from({ length: 30 }, (_, at) => choice(`v${at}`, `Value ${at}`));
    expect(await ask({ kind: 'choice', choices }, [], 'VALUE 2')).toHaveLength(11);
    expect(await ask({ kind: 'choice', choices }, [], 'v7')).toEqual([{ name: 'Value 7', value: 'v7' }]);
  });
});
