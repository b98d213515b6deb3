import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { key, noArguments, numberIn, wholeNumberIn } from '../../src/chat/action.js';
import { command, handler, subcommand } from '../../src/chat/command.js';
import { converse, type Request } from '../../src/chat/dispatch.js';
import { Unavailable } from '../../src/chat/fault.js';
import { words } from '../../src/chat/options.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { NAMES_OF_OBJECTS, ODD_NUMBERS } from '../support/hostile/texts.js';
import { anyChannel } from '../support/talk.js';

const ORIGIN = {
  member: { id: '1', name: 'Tansy', mayManage: false },
  community: 'ember-lane',
  where: 'server',
  channel: undefined,
  interaction: 'interaction-1',
  now: new Date(0),
  platform: anyChannel,
  application: 'terminal',
} as const;

const note = words({ description: 'A note', required: false, maxLength: 40, example: 'suet' });
const no = () => refusal('No', 'Not so.');

/** What a command does, and whether it says that it stores something. */
const commands = [
  command({
    name: 'read',
    description: 'Reads',
    subcommands: subcommand({ description: 'Reads', options: { note }, run: no }),
    handlers: { 'read.button': handler({ audience: 'everyone', args: noArguments, press: no }) },
  }),
  command({
    name: 'write',
    description: 'Writes',
    subcommands: {
      always: subcommand({ description: 'Writes', options: { note }, stores: true, run: no }),
      noted: subcommand({
        description: 'Writes a note',
        options: { note },
        stores: (given) => given.note !== undefined,
        run: no,
      }),
      half: subcommand({
        description: 'Writes, then refuses',
        options: {},
        stores: true,
        run: (_values, call) => {
          call.saved('Batch 7 is saved');
          return no();
        },
      }),
      busy: subcommand({
        description: 'Cannot write',
        options: {},
        stores: true,
        run: () => {
          throw new Unavailable('busy');
        },
      }),
    },
    handlers: {
      'write.form': handler({
        audience: 'everyone',
        stores: true,
        args: z.tuple([wholeNumberIn(1, 100_000_000), numberIn(0, 1e6).optional()]),
        fields: { note },
        press: ([number, weight], { note: written }) =>
          reply({ title: `${number} ${weight ?? 'none'} ${written ?? 'none'}`, lines: [] }),
      }),
      'write.key': handler({ audience: 'everyone', stores: true, args: z.tuple([key]), press: no }),
    },
  }),
  command({
    name: 'lead',
    description: 'For managers',
    who: 'managers',
    subcommands: subcommand({ description: 'For managers', options: {}, stores: true, run: no }),
  }),
];

function hear(request: Request) {
  const faults: unknown[] = [];
  const conversation = converse(commands, (error) => faults.push(error));
  return { conversation, faults, answer: conversation.answer(request, ORIGIN) };
}

const typed = (path: string, given = {}): Request => ({ kind: 'command', path: path.split(' '), given });
const pressed = (id: string, fields = {}): Request => ({ kind: 'press', id, fields });

async function refusedText(request: Request): Promise<string> {
  const { answer } = hear(request);
  const outcome = await answer;
  if (outcome.kind !== 'refusal' && outcome.kind !== 'fault') throw new Error(outcome.title);
  return outcome.text;
}

describe('what stands in the id of a button', () => {
  it('never calls a command by its words', async () => {
    const { answer } = hear(pressed('v1|/read', { note: 'suet' }));
    expect(await answer).toMatchObject({ kind: 'refusal', title: 'That button is out of date' });
  });

  const wrong = [
    ...ODD_NUMBERS.filter((text) => !['1.5', '1e3', '2147483648'].includes(text)).map((text) => `|${text}`),
    '|1.5',
    '|1e3',
    '|2147483648',
    '|1|2|3',
    '|1|-2',
    '|1|1e9',
    '|1|NaN',
    '|+1',
    '|01',
    '| 1',
    '',
    `|1|${'0'.repeat(100)}`,
  ];

  it.each(wrong)('is refused as out of date when it cannot be ours: v1|write.form%s', async (args) => {
    const { answer, faults } = hear(pressed(`v1|write.form${args}`));
    expect(await answer).toMatchObject({ kind: 'refusal', title: 'That button is out of date' });
    expect(faults).toEqual([]);
  });

  it.each([
    ['v1|write.form|17', '17 none none'],
    ['v1|write.form|100000000|0', '100000000 0 none'],
    ['v1|write.form|17|3628.7', '17 3628.7 none'],
    ['v1|write.form|17|1e-7', '17 1e-7 none'],
  ])('reaches the handler as what it is: %s', async (id, title) => {
    expect(await hear(pressed(id)).answer).toMatchObject({ kind: 'reply', title });
  });

  it.each([...NAMES_OF_OBJECTS, '', ' ', 'write', 'write.form.x'])('names no action “%s”', async (name) => {
    for (const id of [`v1|${name}`, `v1|${name}|1`, `${name}|write.form|1`])
      expect(await hear(pressed(id)).answer).toMatchObject({ title: 'That button is out of date' });
  });
});

describe('names that every object answers to', () => {
  it.each(NAMES_OF_OBJECTS)('are options, fields and commands that there are not: %s', async (name) => {
    const given = JSON.parse(`{"note": "suet", ${JSON.stringify(name)}: "x"}`);
    expect(await refusedText(typed('read', given))).toContain(`There is no option “${name}”. It takes note.`);
    expect(await refusedText(pressed('v1|write.form|1', given))).toContain(`There is no option “${name}”`);
    expect(await refusedText(pressed('v1|read.button', given))).toContain('It takes none.');
    expect(await refusedText(typed(name))).toContain(`There is no “/${name}”`);
    expect(await refusedText(typed(`write ${name}`))).toContain(`There is no “/write ${name}”`);
    const { conversation } = hear(typed('read'));
    expect(await conversation.suggest(['read'], name, 'x', given, ORIGIN)).toEqual([]);
    expect(await conversation.suggest([name], 'note', 'x', given, ORIGIN)).toEqual([]);
    expect(conversation.foresee(typed(name)).audience).toBe('only you');
  });

  it('are told once, however many there are', async () => {
    const given = Object.fromEntries(Array.from({ length: 5000 }, (_, at) => [`strange${at}`, 'x']));
    const text = await refusedText(typed('read', given));
    expect(text).toContain('“strange0” (and 4999 more such)');
    expect(text.length).toBeLessThan(200);
  });
});

describe('that nothing was saved', () => {
  it.each([
    typed('write always'),
    typed('write always', { note: 'x'.repeat(41) }),
    typed('write always', { strange: 'x' }),
    typed('write noted', { note: 'suet' }),
    pressed('v1|write.key|1'),
    pressed('v1|write.form|1', { strange: 'x' }),
    pressed('v1|write.form|NaN'),
    typed('lead'),
  ])('is said where something could have been: %j', async (request) => {
    expect(await refusedText(request)).toMatch(/[^.]\. Nothing was saved\.$/);
    expect(hear(request).conversation.refuse(request, 'No', 'Unreadable.').text).toBe(
      'Unreadable. Nothing was saved.',
    );
  });

  it.each([
    typed('read'),
    typed('read', { note: 'x'.repeat(41) }),
    typed('read', { strange: 'x' }),
    typed('write noted'),
    pressed('v1|read.button'),
    pressed('v1|nothing'),
    typed('nothing'),
    typed('write'),
  ])('is not said where nothing could: %j', async (request) => {
    expect(await refusedText(request)).not.toContain('saved');
    expect(hear(request).conversation.refuse(request, 'No', 'Unreadable.').text).toBe('Unreadable.');
  });

  it('is said of a fault by the same rule, and not of what was saved before it', async () => {
    expect(await refusedText(typed('write busy'))).toBe('Nothing was saved. Try again in a minute.');
    expect(await refusedText(typed('write half'))).toBe('Not so. Batch 7 is saved.');
  });
});

describe('very long text', () => {
  it('is refused before it is read', async () => {
    expect(await refusedText(typed('read', { note: 'x'.repeat(6001) }))).toContain('6000 characters at most');
  });
});
