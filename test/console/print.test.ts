import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { button } from '../../src/chat/action.js';
import { command, formOf, type Outcome, subcommand } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { words } from '../../src/chat/options.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { jsonOutcome, printOutcome } from '../../src/console/print.js';
import { startSession, terminalPlatform } from '../../src/console/session.js';
import { ODD_CHARACTERS } from '../support/hostile/texts.js';

const nowhere = async () => 'nowhere';
/** A line break of the printing's own is none. */
const CONTROL = /(?!\n)\p{Cc}|\p{Surrogate}/u;

const anyText = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 40 }),
  fc.array(fc.constantFrom(...ODD_CHARACTERS, 'a', ' '), { maxLength: 8 }).map((parts) => parts.join('')),
);

/** Every part of an outcome that words can stand in. */
const anyOutcome: fc.Arbitrary<Outcome> = anyText.chain((text) =>
  fc.constantFrom<Outcome>(
    refusal(text, text, [button(text, text)]),
    formOf(
      'v1|note',
      text,
      { note: words({ description: text, required: false, maxLength: 9, example: text }) },
      { note: text },
    ),
    reply({
      title: text,
      lines: [text, text],
      facts: [{ label: text, text }],
      steps: [{ when: text, what: text }],
      table: { columns: [{ title: text, align: 'left' }], rows: [[text]] },
      note: text,
      caution: { id: 'b', text, source: text },
      cautions: [{ id: 'a', text, source: text }],
      sources: [text],
      actions: [button(text, text)],
      picture: { png: new Uint8Array(), name: 'a.png', alt: text },
    }),
  ),
);

describe('what is printed', () => {
  it('holds no character that a terminal would obey, nor a line that somebody typed into another', async () => {
    await fc.assert(
      fc.asyncProperty(anyOutcome, async (outcome) => {
        const printed = await printOutcome(outcome, nowhere);
        expect(printed).not.toMatch(CONTROL);
        const lines = printed.trimEnd().split('\n');
        expect(lines.slice(1).every((line) => line.startsWith('  '))).toBe(true);
        const json = await jsonOutcome('note', outcome, nowhere);
        expect(json).not.toMatch(/\p{Cc}|\p{Surrogate}/u);
        expect(JSON.parse(json)).toMatchObject({ command: 'note' });
      }),
      { numRuns: 300 },
    );
  });

  it('has facts and steps in columns, then the note and the caution', async () => {
    const short = reply({
      title: '8 cups',
      facts: [
        { label: 'Pot', text: '8 qt or bigger' },
        { label: 'Simmer', text: '2 h or more' },
      ],
      steps: [{ when: 'Fri 5:00 pm', what: 'Grind' }],
      note: 'With the lid off.',
      caution: { id: 'a', text: 'Hot fat burns', source: 'A body, 2020' },
    });
    expect(await printOutcome(short, nowhere)).toBe(
      [
        '8 cups',
        '  Pot     8 qt or bigger',
        '  Simmer  2 h or more',
        '  Fri 5:00 pm  Grind',
        '  With the lid off.',
        '  ! Hot fat burns (A body, 2020)',
        '',
      ].join('\n'),
    );
    expect(JSON.parse(await jsonOutcome('water', short, nowhere)).reply).toMatchObject({
      facts: short.facts,
      steps: short.steps,
      note: short.note,
      cautions: ['a'],
    });
  });

  it('shows the buttons of a refusal', async () => {
    const refused = refusal('No', 'Not so.', [button('Again', 'v1|again')]);
    expect(await printOutcome(refused, nowhere)).toBe('No\n  Not so.\n  [Again] press:v1|again\n');
    expect(JSON.parse(await jsonOutcome('note', refused, nowhere))).toEqual({
      command: 'note',
      ok: false,
      refusal: { title: 'No', text: 'Not so.', actions: ['v1|again'] },
    });
    expect(JSON.parse(await jsonOutcome('note', refusal('No', 'Not so.'), nowhere))).toEqual({
      command: 'note',
      ok: false,
      refusal: { title: 'No', text: 'Not so.' },
    });
  });
});

describe('a line in the terminal', () => {
  const note = words({ description: 'A note', required: false, maxLength: 40, example: 'suet' });
  const log = command({
    name: 'log',
    description: 'A note',
    subcommands: subcommand({
      description: 'A note',
      options: { note },
      stores: true,
      run: ({ note: text = '' }) => reply({ title: text, lines: [] }),
    }),
    handlers: {},
  });
  const look = command({
    name: 'look',
    description: 'A look',
    subcommands: subcommand({
      description: 'A look',
      options: { note },
      run: ({ note: text = '' }) => reply({ title: text, lines: [] }),
    }),
  });

  async function saying(line: string, json: boolean): Promise<string> {
    let printed = '';
    const session = startSession({
      conversation: converse([log, look], (error) => {
        throw error;
      }),
      speaker: { name: 'Tansy', community: 'ember-lane', mayManage: false },
      json,
      clock: () => new Date(0),
      newInteraction: () => 'interaction',
      platform: terminalPlatform,
      savePicture: nowhere,
      write: (text) => {
        printed += text;
      },
    });
    await session.answer(line);
    return printed;
  }

  it.each([
    '/log note:"bee\u001b[31mfy"',
    '/log colour\u001b[31m:red',
    '/log \u001b]0;title\u0007',
    '/lo\u009bg',
    'press:v1|\u001b[2J|x note:\u007f',
    '\u001b[31m',
    '/log note:a note:\u001b[31m',
  ])('is never obeyed by the terminal: %j', async (line) => {
    for (const json of [true, false]) expect(await saying(line, json)).not.toMatch(CONTROL);
  });

  it('that cannot be read says that nothing was saved where something could be', async () => {
    expect(await saying('/log note:a note:b', false)).toContain('note is given twice. Nothing was saved.');
    expect(await saying('/look note:a note:b', false)).toContain('note is given twice.\n');
    expect(await saying('!!', false)).not.toContain('saved');
  });

  it('is not said again at length', async () => {
    for (const line of [
      `/look ${'x'.repeat(100_000)}`,
      `press:${'x'.repeat(100_000)}`,
      `/look note:a ${'y'.repeat(500)}:b`,
    ])
      expect((await saying(line, true)).length).toBeLessThan(600);
  });
});
