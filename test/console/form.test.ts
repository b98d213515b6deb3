import { describe, expect, it } from 'vitest';
import { noArguments } from '../../src/chat/action.js';
import { command, formOf, handler, subcommand } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import type { Given } from '../../src/chat/option.js';
import { wholeNumber, words } from '../../src/chat/options.js';
import { reply } from '../../src/chat/reply.js';
import { jsonOutcome, printOutcome } from '../../src/console/print.js';
import { startSession, terminalPlatform } from '../../src/console/session.js';

const options = {
  weight: wholeNumber({ description: 'How heavy', required: true, least: 0, most: 9, example: '4' }),
  note: words({ description: 'Anything else', required: false, maxLength: 40, example: 'brisket trim' }),
  taste: words({ description: 'How it tastes', required: false, maxLength: 40, example: 'beefy' }),
};
const filled = formOf('v1|note', 'A batch', options, { weight: '7', note: 'suet' });
const blank = formOf('v1|note', 'A batch', options);
const nowhere = async () => 'nowhere';

describe('a form in the terminal', () => {
  it('shows what stands in it, and an example as an example', async () => {
    expect(await printOutcome(filled, nowhere)).toBe(
      [
        'A batch',
        '  weight: How heavy — now 7',
        '  note: Anything else — now suet',
        '  taste: How it tastes (may be left out) — for example beefy',
        '  Fill it in with: press:v1|note field:value …',
        '  What you leave out stays as it is; note:"" clears it.',
        '',
      ].join('\n'),
    );
  });

  it('promises nothing of what stands in it when nothing does', async () => {
    const printed = await printOutcome(blank, nowhere);
    expect(printed).toContain('weight: How heavy — for example 4\n');
    expect(printed).not.toContain('stays as it is');
  });

  it('shows the same as JSON', async () => {
    const { reply: shown } = JSON.parse(await jsonOutcome('batch correct', filled, nowhere));
    expect(shown.text).toContain('weight: How heavy — now 7');
    expect(shown.text).toContain('clears it');
  });

  async function fieldsAfter(answers: readonly string[]): Promise<Given> {
    let handedIn: Given = {};
    const questions: string[] = [];
    const left = [...answers];
    const note = command({
      name: 'note',
      description: 'A note',
      subcommands: subcommand({ description: 'A note', options: {}, run: () => filled }),
      handlers: {
        note: handler({
          audience: 'everyone',
          args: noArguments,
          fields: options,
          press: (_args, fields) => {
            handedIn = fields;
            return reply({ title: 'Noted', lines: [] });
          },
        }),
      },
    });
    const session = startSession({
      conversation: converse([note], (error) => {
        throw error;
      }),
      speaker: { name: 'Tansy', community: 'ember-lane', mayManage: false },
      json: false,
      clock: () => new Date(0),
      newInteraction: () => 'interaction',
      platform: terminalPlatform,
      savePicture: nowhere,
      write: () => {},
    });
    await session.answer('/note', async (question) => {
      questions.push(question);
      return left.shift() ?? '';
    });
    expect(questions[1]).toContain('Enter keeps suet, "" clears it');
    return handedIn;
  }

  it('keeps a field at Enter, takes what is typed, and clears at two quotation marks', async () => {
    expect(await fieldsAfter(['', '', ''])).toEqual({ weight: '7', note: 'suet', taste: '' });
    expect(await fieldsAfter(['5', '""', 'beefy'])).toEqual({ weight: '5', note: '', taste: 'beefy' });
  });
});
