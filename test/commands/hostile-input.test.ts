import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { visible } from '../../src/chat/clean.js';
import { subcommandsOf } from '../../src/chat/command.js';
import type { Request } from '../../src/chat/dispatch.js';
import type { Given, Options } from '../../src/chat/option.js';
import { NAMES_OF_OBJECTS, ODD_CHARACTERS, ODD_NUMBERS } from '../support/hostile/texts.js';
import { wrongsIn, wrongsOfText } from '../support/hostile/wrongs.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
  for (const tallow of ['900 g', '950 g'])
    await talk.ask(`/batch log fat:2kg tallow:"${tallow}" method:oven cut:ground`);
});
afterAll(() => talk.close());

const everySubcommand = () => talk.conversation.commands.flatMap(subcommandsOf);
const everyHandler = () =>
  talk.conversation.commands.flatMap(({ handlers }) =>
    Object.entries(handlers).map(([name, { fields }]) => ({ name, fields })),
  );

const odd = fc.oneof(
  fc.constantFrom(...ODD_NUMBERS, ...ODD_CHARACTERS, ...NAMES_OF_OBJECTS),
  fc.string({ unit: 'binary', maxLength: 80 }),
  fc.constantFrom(...ODD_CHARACTERS).map((text) => text.repeat(3000)),
  fc.constantFrom(' ', '0', '1 ', 'a:', '½ ', '.,').map((text) => `1${text.repeat(20_000)}x`),
);

/** Each option as it should be, or odd, or with something odd in it. */
const givenFor = (options: Options): fc.Arbitrary<Given> =>
  fc.record(
    Object.fromEntries(
      Object.entries(options).map(([name, { example }]) => [
        name,
        fc.oneof(
          { weight: 4, arbitrary: fc.constant(example) },
          odd,
          odd.map((text) => `${example}${text}`),
        ),
      ]),
    ),
    { requiredKeys: Object.keys(options).filter((name) => options[name]?.required) },
  );

/** Hands a request in, and says what was wrong with the answer. A fault of ours rejects. */
async function wrongsMeeting(request: Request): Promise<readonly string[]> {
  const answer = await talk.answer(request, { admin: true });
  return wrongsIn(answer, JSON.stringify(request));
}

describe('whatever is typed', () => {
  it('is read or refused by every option by itself, in no time', () => {
    const slow: string[] = [];
    for (const { path, subcommand } of everySubcommand())
      for (const [name, option] of Object.entries(subcommand.options))
        fc.assert(
          fc.property(odd, (text) => {
            const cleaned = visible(text).trim();
            const before = performance.now();
            const read = option.parse(cleaned);
            if (performance.now() - before > 2000)
              slow.push(`${path.join(' ')} ${name}: ${cleaned.slice(0, 40)}`);
            if (!read.ok) expect(wrongsOfText(read.problem, cleaned)).toEqual([]);
          }),
          { numRuns: 60 },
        );
    expect(slow).toEqual([]);
  });

  it('meets a good answer from every command', { timeout: 240_000 }, async () => {
    for (const { path, subcommand } of everySubcommand())
      await fc.assert(
        fc.asyncProperty(givenFor(subcommand.options), async (given) => {
          expect(await wrongsMeeting({ kind: 'command', path, given })).toEqual([]);
        }),
        { numRuns: 12 },
      );
  });

  it('meets a good answer in every field of every form', { timeout: 120_000 }, async () => {
    const forms = everyHandler().filter(({ fields }) => Object.keys(fields).length > 0);
    expect(forms.map(({ name }) => name)).toContain('batch.correct');
    for (const { name, fields } of forms)
      await fc.assert(
        fc.asyncProperty(givenFor(fields), async (given) => {
          for (const id of [`v1|${name}`, `v1|${name}|1`])
            expect(await wrongsMeeting({ kind: 'press', id, fields: given })).toEqual([]);
        }),
        { numRuns: 40 },
      );
  });
});

describe('whatever stands in the id of a button', () => {
  const args = [
    ...ODD_NUMBERS,
    ...NAMES_OF_OBJECTS,
    '1',
    '#',
    '#x',
    '@zzzzzzzzzzzzz',
    '@1!',
    '!1',
    '~1,NaN,3',
    '~1,2,Infinity',
    'a=%00',
    '%',
    '*fat=1',
  ];

  it('is refused or answered by every handler, and nothing is stored', { timeout: 120_000 }, async () => {
    const numbers = async () => talk.db.selectFrom('batch_changes').selectAll().execute();
    const before = await numbers();
    for (const { name } of everyHandler())
      for (const arg of args)
        for (const rest of [`|${arg}`, `|1|${arg}`, `|${arg}|1`, `|${arg}|${arg}|${arg}|${arg}`]) {
          const request: Request = { kind: 'press', id: `v1|${name}${rest}`, fields: {} };
          expect([request.id, await wrongsMeeting(request)]).toEqual([request.id, []]);
        }
    expect(await numbers()).toEqual(before);
  });

  it.each([
    'batch.correct|abc',
    'batch.correct|2147483648',
    'batch.keep|\0',
    'water.working|working-\0',
    'safety.read|-1',
    'weekly.take-on|oven|ground|1e999',
  ])('is said to be out of date: v1|%s', async (rest) => {
    const outcome = await talk.answer({ kind: 'press', id: `v1|${rest}`, fields: {} }, { admin: true });
    expect(outcome).toMatchObject({ kind: 'refusal', title: 'That button is out of date' });
  });
});
