import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { actionId, button } from '../../src/chat/action.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { formModal, type Payload, refusalPayload, replyPayload } from '../../src/discord/payload.js';
import { conformanceCheck } from '../support/chat-server/conformance.js';
import { messageProblems, modalProblems } from '../support/chat-server/refusals.js';

const check = conformanceCheck();

/** The body as the client sends it, checked as Discord would. */
function problemsOf(payload: Payload): readonly string[] {
  const body = JSON.parse(JSON.stringify(payload.body));
  return [
    ...messageProblems(body, true, payload.files.length > 0),
    ...check('post', '/channels/{channel_id}/messages', body),
  ];
}

const text = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 80 }),
  fc.stringMatching(/^[`*_~|>#<@&!:()[\]\\ \n-]{0,60}$/),
  fc.constantFrom(
    '',
    ' \n ',
    '\u200b',
    'x'.repeat(2500),
    '`'.repeat(1500),
    '*'.repeat(1500),
    '@everyone',
    '<@1>',
    '\n\n# Head',
    '```\n[a](http://example.org)\n```',
  ),
);
const action = fc.record({
  id: fc.oneof(fc.string({ maxLength: 120 }), fc.constantFrom('v1|a', 'v1|b', '')),
  label: text,
  weight: fc.constantFrom('main', 'plain', 'grave'),
});
const table = fc.record({
  columns: fc.tuple(
    fc.record({ title: text, align: fc.constant('left' as const) }),
    fc.record({ title: text, align: fc.constant('right' as const) }),
  ),
  rows: fc.array(fc.array(text, { minLength: 1, maxLength: 3 }), { maxLength: 15 }),
});

const anyReply = fc
  .record({
    title: text,
    lines: fc.array(text, { maxLength: 12 }),
    facts: fc.array(fc.record({ label: text, text }), { maxLength: 5 }),
    steps: fc.array(fc.record({ when: text, what: text }), { maxLength: 5 }),
    note: fc.option(text, { nil: undefined }),
    caution: fc.option(fc.record({ id: fc.string(), text, source: text }), { nil: undefined }),
    cautions: fc.array(fc.record({ id: fc.string(), text, source: text }), { maxLength: 4 }),
    sources: fc.array(text, { maxLength: 4 }),
    actions: fc.array(action, { maxLength: 35 }),
    table: fc.option(table, { nil: undefined }),
    alt: fc.option(text, { nil: undefined }),
  })
  .map(({ alt, ...parts }) =>
    reply({
      ...parts,
      picture: alt === undefined ? undefined : { png: new Uint8Array([1]), name: 'chart.png', alt },
    }),
  );

/** What Discord could still read as formatting: no escaped character, no code block, no address. */
const bare = (markdown: string) =>
  markdown
    .replace(/```\n[^`]*\n```(?=\n-# |$)/, '')
    .replace(/\\[^0-9A-Za-z\s]/g, 'x')
    .replace(/https?:\/\/[^\s<]+/gi, '');

/** Without the bold labels and the small print that are the adapter's own. */
const withoutOwnFormat = (markdown: string) =>
  markdown.replace(/^\*\*[^*\n]*\*\* /gm, '').replace(/^-# /gm, '');

const total = ({
  body: {
    embeds: [embed],
  },
}: Payload): number =>
  [embed?.title, embed?.description, embed?.footer?.text, ...(embed?.fields ?? []).flatMap(Object.values)]
    .map((part) => String(part ?? '').length)
    .reduce((sum, length) => sum + length, 0);

describe('a payload', () => {
  // Message › Embed Limits and Attachment Object; Component Reference › Action Row, Button.
  it('is one that Discord takes, whatever the reply says', () => {
    fc.assert(
      fc.property(anyReply, (any) => {
        const payload = replyPayload(any, '#mark');
        expect(problemsOf(payload)).toEqual([]);
        const [embed] = payload.body.embeds;
        expect(embed?.title?.trim()).not.toBe('');
        expect(embed?.title?.length).toBeLessThanOrEqual(256);
        expect(embed?.description?.length ?? 0).toBeLessThanOrEqual(4096);
        expect(embed?.fields?.[0]?.value.length ?? 0).toBeLessThanOrEqual(1024);
        expect(embed?.footer?.text.length).toBeLessThanOrEqual(2048);
        expect(embed?.footer?.text.endsWith('#mark')).toBe(true);
        expect(total(payload)).toBeLessThanOrEqual(6000);
        expect(payload.body.components.length).toBeLessThanOrEqual(5);
        const buttons = payload.body.components.flatMap(({ components }) => components);
        expect(new Set(buttons.map((button) => button.custom_id)).size).toBe(buttons.length);
        for (const { label = '', custom_id } of buttons) {
          expect(label.trim()).not.toBe('');
          expect(label.length).toBeLessThanOrEqual(80);
          expect(custom_id.length).toBeLessThanOrEqual(100);
        }
        expect(payload.body.attachments[0]?.description.length ?? 0).toBeLessThanOrEqual(1024);
      }),
      { numRuns: 150 },
    );
  });

  it('formats nothing that came from a person', () => {
    fc.assert(
      fc.property(anyReply, (any) => {
        const [embed] = replyPayload(any).body.embeds;
        const texts = [embed?.title, embed?.description, ...(embed?.fields ?? []).map(({ value }) => value)];
        const seen = texts.map((markdown) => bare(markdown ?? ''));
        const small = seen.join('\n').match(/^-# /gm)?.length ?? 0;
        expect(small).toBeLessThanOrEqual((any.note ? 1 : 0) + (any.caution?.source ? 1 : 0));
        for (const markdown of seen)
          expect(withoutOwnFormat(markdown)).not.toMatch(
            /\*|_|~~|\|\||`|\[|<|@everyone|@here|^(#{1,3}|-#|[-+]|>|>>>)\s/im,
          );
      }),
      { numRuns: 150 },
    );
  });

  it('keeps the table in one code block that nothing closes early', () => {
    fc.assert(
      fc.property(anyReply, table, (any, shown) => {
        const { note: _, ...noted } = any;
        const description = replyPayload({ ...noted, table: shown }).body.embeds[0]?.description ?? '';
        const unescaped = description.replace(/\\[^0-9A-Za-z\s]/g, '');
        expect(unescaped.match(/`/g)?.length).toBe(6);
        expect(description.endsWith('\n```')).toBe(true);
      }),
      { numRuns: 150 },
    );
  });

  it('counts the lines it leaves out', () => {
    const long = reply({
      title: 'Long',
      lines: Array.from({ length: 300 }, (_, at) => `line ${at} ${'x'.repeat(40)}`),
    });
    const description = replyPayload(long).body.embeds[0]?.description ?? '';
    const kept = description.split('\n').length - 1;
    expect(description.endsWith(`… and ${300 - kept} more lines`)).toBe(true);
  });

  it('counts the rows of a table that it leaves out, and leaves room for the lines', () => {
    const long = reply({
      title: 'Long',
      lines: Array.from({ length: 100 }, (_, at) => `line ${at} ${'x'.repeat(40)}`),
      table: {
        columns: [{ title: 'Row', align: 'left' }],
        rows: Array.from({ length: 200 }, (_, at) => [`row ${at} ${'x'.repeat(40)}`]),
      },
    });
    const description = replyPayload(long).body.embeds[0]?.description ?? '';
    const [lines = '', rows = ''] = description.split('```');
    expect(lines).toMatch(/line 20 x+\n/);
    expect(lines).toMatch(/… and \d+ more lines\n$/);
    const shown = rows.match(/row \d+ /g)?.length ?? 0;
    expect(shown).toBeGreaterThan(20);
    expect(rows).toContain(`… and ${200 - shown} more lines`);
  });

  it('has its buttons in rows of five, and says how many did not fit', () => {
    const actions = Array.from({ length: 28 }, (_, at) => button(`Number ${at}`, actionId('x', at)));
    const { components, embeds } = replyPayload(reply({ title: 'Pick', lines: ['One'], actions })).body;
    expect(components.map((row) => row.components.length)).toEqual([5, 5, 5, 5, 5]);
    expect(embeds[0]?.description).toBe('One\n… and 3 more choices');
  });

  it('shows the picture with its words for those who cannot see it', () => {
    const picture = { png: new Uint8Array([1, 2]), name: 'chart.png', alt: 'Yields by method' };
    const { body, files } = replyPayload(reply({ title: 'Chart', lines: [], picture }));
    expect(body.embeds[0]?.image?.url).toBe('attachment://chart.png');
    expect(body.attachments).toEqual([{ id: '0', description: 'Yields by method' }]);
    expect(files).toEqual([{ name: 'chart.png', data: Buffer.from([1, 2]) }]);
  });

  it('puts cautions and sources beside the answer', () => {
    const { embeds } = replyPayload(
      reply({
        title: 'Water',
        lines: ['8 cups'],
        cautions: [{ id: 'a', text: 'Hot fat burns', source: 'A body, 2020' }],
        sources: ['Table 1', 'Table 2'],
      }),
    ).body;
    expect(embeds[0]?.fields).toEqual([{ name: 'Take care', value: '• Hot fat burns (A body, 2020)' }]);
    expect(embeds[0]?.footer).toEqual({ text: 'Source: Table 1; Table 2' });
  });

  it('has labels and times in bold, and the note and the source of the caution in small print', () => {
    const { embeds } = replyPayload(
      reply({
        title: '8 cups',
        facts: [{ label: 'Pot', text: '8 qt or *bigger*' }],
        steps: [{ when: 'Fri 5:00 pm', what: 'Grind' }],
        note: 'With the lid off.',
        caution: { id: 'a', text: 'Hot fat burns', source: 'A body, 2020' },
      }),
    ).body;
    expect(embeds[0]?.description).toBe(
      '**Pot** 8 qt or \\*bigger\\*\n**Fri 5:00 pm** Grind\n-# With the lid off.',
    );
    expect(embeds[0]?.fields).toEqual([{ name: 'Take care', value: 'Hot fat burns\n-# A body, 2020' }]);
  });

  it('is taken for any refusal', () => {
    fc.assert(
      fc.property(text, text, (title, why) => {
        expect(problemsOf(refusalPayload(refusal(title, why)))).toEqual([]);
      }),
      { numRuns: 80 },
    );
  });

  it('is taken for any form', () => {
    fc.assert(
      fc.property(text, text, text, text, (title, label, hint, value) => {
        const field = { name: 'note', label, hint, required: false, long: true, maxLength: 300, value };
        const modal = formModal({ kind: 'form', id: 'v1|form', title, fields: [field] });
        const body = JSON.parse(JSON.stringify({ type: 9, data: modal }));
        expect(modalProblems(body.data)).toEqual([]);
        expect(check('post', '/interactions/{interaction_id}/{interaction_token}/callback', body)).toEqual(
          [],
        );
      }),
      { numRuns: 80 },
    );
  });
});
