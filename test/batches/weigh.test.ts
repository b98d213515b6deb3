import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { numberIn, openTalk, type Speaking, type Talk } from '../support/talk.js';

let talk: Talk;
let community = '';
let communities = 0;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());
beforeEach(() => {
  community = `community ${++communities}`;
});

const AT = (minutes: number) => new Date(Date.parse('2026-11-25T12:00:00Z') + minutes * 60_000).toISOString();
const log = (rest = '') => `/batch log fat:"2 lb 8 oz" tallow:"1 lb 4 oz" method:oven cut:ground ${rest}`;
const say = (line: string, speaking: Speaking = {}) => talk.ask(line, { community, now: AT(0), ...speaking });
const batches = async (): Promise<number> => numberIn(await say('/batch list'), 'batches');
const press = (reply: Reply, label: string): string =>
  `press:"${reply.actions.find((action) => action.label === label)?.id}"`;
const isQuestion = (reply: Reply): boolean => /Log it again\?$/.test(reply.title);

describe('a batch that looks like one from a moment ago', () => {
  it('is asked about, and not saved', async () => {
    await say(log());
    const question = await say(log('minutes:90 note:"once more"'), { now: AT(2) });
    expect(question.title).toBe('Looks like batch 1, logged 2 minutes ago. Log it again?');
    expect(question.audience).toBe('only you');
    expect(question.lines.join(' ')).toContain('Nothing more is saved yet');
    expect(question.saved).toBeUndefined();
    expect(await batches()).toBe(1);
  });

  it('is not asked about once an hour has gone by since the first', async () => {
    const ofTheDayBefore = log('date:2026-11-24');
    await say(ofTheDayBefore);
    expect(isQuestion(await say(ofTheDayBefore, { now: AT(59) }))).toBe(true);
    expect(isQuestion(await say(ofTheDayBefore, { now: AT(61) }))).toBe(false);
    expect(await batches()).toBe(2);
  });

  it('is saved once when it is another, however often that is said, with all that was said of it', async () => {
    await say(log());
    const question = await say(log('note:"the second pot"'), { now: AT(2) });
    const another = press(question, 'Log it again');
    const answers = await Promise.all([1, 2, 3].map(() => say(another, { now: AT(3) })));
    expect(answers.map((answer) => numberIn(answer, 'batch'))).toEqual([2, 2, 2]);
    expect((await say(another, { now: AT(4) })).title).toBe('Batch 2 is kept already');
    expect(await batches()).toBe(2);
    const shown = (await say('/batch show number:2')).lines.join('\n');
    expect(shown).toContain('Note: the second pot');
  });

  it('is left when it is the same', async () => {
    await say(log());
    const question = await say(log(), { now: AT(2) });
    const left = await say(press(question, 'It is the same'));
    expect(left.title).toBe('It stays at batch 1');
    expect(left.saved).toBeUndefined();
    expect(await batches()).toBe(1);
  });

  it('is for its cook to tell, and nobody else', async () => {
    await say(log());
    const question = await say(log(), { now: AT(2) });
    for (const label of ['Log it again', 'It is the same']) {
      const refused = await talk.refuse(press(question, label), { community, as: 'Somebody', admin: true });
      expect(refused.title).toBe('Not your batch');
    }
    expect(await batches()).toBe(1);
  });

  it('is noticed when both come at the same instant, by whatever way', async () => {
    const answers = await Promise.all([say(log()), say(log()), say(log())]);
    expect(answers.filter(isQuestion)).toHaveLength(2);
    expect(await batches()).toBe(1);
  });

  it('is no question when one request comes twice', async () => {
    const speaking = { interaction: `twice ${community}` };
    const answers = await Promise.all([say(log(), speaking), say(log(), speaking)]);
    answers.push(await say(log(), { ...speaking, now: AT(5) }));
    expect(answers.map((answer) => answer.title)).toEqual(Array(3).fill('Batch 1: 50 %'));
    expect(await batches()).toBe(1);
  });

  it.each([
    ['an hour later', log(), { now: AT(61) }],
    ['a day later', log(), { now: AT(24 * 60) }],
    ['by another cook', log(), { as: 'Odile' }],
    ['of another weight', log().replace('1 lb 4 oz', '567 g').replace('567', '568'), {}],
    ['by another method', log().replace('oven', 'smoker'), {}],
    ['of another cut', log().replace('ground', 'cubed'), {}],
    ['of another day', log('date:yesterday'), {}],
  ])('is none %s', async (_what, line, speaking) => {
    await say(log());
    expect(isQuestion(await say(line, { now: AT(2), ...speaking }))).toBe(false);
    expect(await batches()).toBe(2);
  });

  it('is none in another community, nor where the first was removed', async () => {
    await say(log());
    expect(isQuestion(await talk.ask(log(), { community: `${community} too`, now: AT(1) }))).toBe(false);
    await say('/batch remove number:1');
    expect(isQuestion(await say(log(), { now: AT(2) }))).toBe(false);
  });

  it('is told apart by day where several old ones are logged in a row, and asked about on one day', async () => {
    for (const day of ['2026-11-20', '2026-11-21', '2026-11-22']) await say(log(`date:${day}`));
    expect(await batches()).toBe(3);
    expect(isQuestion(await say(log('date:2026-11-21')))).toBe(true);
  });

  it('is seen in whatever units it is typed', async () => {
    await say(log());
    expect(isQuestion(await say(log().replace('2 lb 8 oz', '1134 g'), { now: AT(2) }))).toBe(true);
  });
});

describe('doubtful weights that were kept a moment ago', () => {
  const doubtful = '/batch log fat:1kg tallow:800g method:oven cut:ground';

  it('are not doubted again: the one question is whether it is another batch', async () => {
    await say(press(await say(doubtful), 'Keep it'));
    const question = await say(doubtful, { now: AT(2) });
    expect(question.title).toBe('Looks like batch 1, logged 2 minutes ago. Log it again?');
    const kept = await say(press(question, 'Log it again'), { now: AT(3) });
    expect(kept.title).toBe('Batch 2: 80 %');
    expect(await batches()).toBe(2);
  });

  it('are asked about where both were doubted before either was kept', async () => {
    const [first, second] = [await say(doubtful), await say(doubtful, { now: AT(1) })];
    await say(press(first, 'Keep it'), { now: AT(2) });
    const keepSecond = press(second, 'Keep it');
    const question = await say(keepSecond, { now: AT(3) });
    expect(isQuestion(question)).toBe(true);
    expect(await batches()).toBe(1);
    await say(press(question, 'Log it again'), { now: AT(4) });
    expect((await say(keepSecond, { now: AT(5) })).title).toBe('Batch 2 is kept already');
    expect(await batches()).toBe(2);
  });
});
