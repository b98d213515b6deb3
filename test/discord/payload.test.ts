import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formOf } from '../../src/chat/command.js';
import { words } from '../../src/chat/options.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { formModal, type Payload, refusalPayload, replyPayload } from '../../src/discord/payload.js';
import { conformanceCheck } from '../support/chat-server/conformance.js';
import { messageProblems, modalProblems } from '../support/chat-server/refusals.js';

const check = conformanceCheck();

/** The body as the client sends it, checked as Discord would. */
function problemsOf({ embeds, components, files }: Payload): readonly string[] {
  const body = JSON.parse(JSON.stringify({ embeds, components, allowed_mentions: { parse: [] } }));
  return [
    ...messageProblems(body, true, files.length > 0),
    ...check('post', '/channels/{channel_id}/messages', body),
  ];
}

const text = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 80 }),
  fc.stringMatching(/^[`*_~|>#<@&!:()[\]\\ \n-]{0,60}$/),
  fc.constantFrom('x'.repeat(2500), '`'.repeat(1500), '*'.repeat(1500), '@everyone', '<@1>', '\n\n# Head'),
);
const caution = fc.record({ id: fc.string(), text, source: text });

const anyReply = fc
  .record({
    title: text,
    lines: fc.array(text, { maxLength: 12 }),
    cautions: fc.array(caution, { maxLength: 4 }),
    sources: fc.array(text, { maxLength: 4 }),
    rows: fc.array(fc.array(text, { minLength: 2, maxLength: 2 }), { maxLength: 15 }),
    labels: fc.array(text, { maxLength: 30 }),
  })
  .map(({ title, lines, cautions, sources, rows, labels }) =>
    reply({
      title: title.trim() === '' ? 'Something' : title,
      lines,
      cautions,
      sources,
      table: {
        columns: [
          { title: 'A', align: 'left' },
          { title: 'B', align: 'right' },
        ],
        rows,
      },
      actions: labels.map((label, at) => ({
        id: `v1|x|${at}`,
        label: label.trim() === '' ? 'Go' : label,
        weight: 'plain',
      })),
    }),
  );

describe('a payload', () => {
  it('is one that Discord takes, whatever the reply says', () => {
    fc.assert(
      fc.property(anyReply, (any) => {
        expect(problemsOf(replyPayload(any, '#mark'))).toEqual([]);
      }),
      { numRuns: 80 },
    );
  });

  it('keeps the table in one code block that nothing closes early', () => {
    fc.assert(
      fc.property(anyReply, (any) => {
        const description = replyPayload(any).embeds[0]?.description ?? '';
        const unescaped = description.replace(/\\`/g, '');
        expect(unescaped.match(/`/g)?.length).toBe(6);
        expect(description.endsWith('\n```')).toBe(true);
      }),
      { numRuns: 80 },
    );
  });

  it('counts the lines it leaves out', () => {
    const long = reply({
      title: 'Long',
      lines: Array.from({ length: 300 }, (_, at) => `line ${at} ${'x'.repeat(40)}`),
    });
    const description = replyPayload(long).embeds[0]?.description ?? '';
    const kept = description.split('\n').length - 1;
    expect(description.endsWith(`… and ${300 - kept} more lines`)).toBe(true);
  });

  it('is taken for any refusal', () => {
    fc.assert(
      fc.property(text, text, (title, why) => {
        expect(problemsOf(refusalPayload(refusal(title.trim() === '' ? 'No' : title, why)))).toEqual([]);
      }),
      { numRuns: 80 },
    );
  });

  it('is taken for any form', () => {
    fc.assert(
      fc.property(text, text, (title, value) => {
        const option = words({
          description: 'A note of some length, longer than a label may be',
          required: false,
          maxLength: 300,
          example: 'x',
        });
        const modal = formModal(
          formOf('v1|form', title.trim() === '' ? 'Form' : title, { note: option }, { note: value }),
        );
        const body = JSON.parse(JSON.stringify({ type: 9, data: modal }));
        expect(modalProblems(body.data)).toEqual([]);
        expect(check('post', '/interactions/{interaction_id}/{interaction_token}/callback', body)).toEqual(
          [],
        );
      }),
      { numRuns: 60 },
    );
  });
});
