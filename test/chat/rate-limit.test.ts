import { describe, expect, it } from 'vitest';
import type { Origin } from '../../src/chat/call.js';
import { command, subcommand } from '../../src/chat/command.js';
import { type Conversation, converse, type Request } from '../../src/chat/dispatch.js';
import { words } from '../../src/chat/options.js';
import { type Limited, rateLimited } from '../../src/chat/rate-limit.js';
import { reply } from '../../src/chat/reply.js';

const START = Date.parse('2026-11-25T18:00:00Z');
const ASK: Request = { kind: 'command', path: ['ask'], given: {} };
const KEEP: Request = { kind: 'command', path: ['keep'], given: {} };

/** A conversation with one command that counts how often it is reached. */
function stage() {
  let reached = 0;
  const heard: Limited[] = [];
  const reach = <T>(answer: T): T => {
    reached += 1;
    return answer;
  };
  const what = words({ description: 'What', required: false, maxLength: 60, example: 'tallow' });
  const ask = command({
    name: 'ask',
    description: 'Asks',
    subcommands: subcommand({
      description: 'Asks',
      options: { what },
      run: () => reach(reply({ title: 'An answer', lines: [] })),
      suggest: async () => reach([{ value: 'one', label: 'One' }]),
    }),
  });
  const keep = command({
    name: 'keep',
    description: 'Keeps',
    subcommands: subcommand({
      description: 'Keeps',
      options: {},
      stores: true,
      run: () => reach(reply({ title: 'Kept', lines: [] })),
    }),
  });
  const conversation: Conversation = rateLimited(
    converse([ask, keep], (error) => {
      throw error;
    }),
    (limited) => heard.push(limited),
  );
  const from = (member: string, atMs: number, community: string): Origin => ({
    member: { id: member, name: member, mayManage: false },
    community,
    where: 'server',
    channel: undefined,
    interaction: `${member} ${atMs}`,
    now: new Date(START + atMs),
    platform: { channel: async () => undefined, messageLink: () => undefined },
    application: 'bot',
  });
  return {
    heard,
    reached: () => reached,
    answer: (member: string, atMs: number, community = 'ember-lane', request = ASK) =>
      conversation.answer(request, from(member, atMs, community)),
    suggest: (member: string, atMs: number, community = 'ember-lane') =>
      conversation.suggest(['ask'], 'what', '', {}, from(member, atMs, community)),
  };
}

describe('how much may be asked', () => {
  it('is sixty times within any minute for a member, in whatever communities', async () => {
    const { answer, reached, heard } = stage();
    for (let at = 0; at < 60; at++)
      expect((await answer('Ann', at * 500, `lane ${at % 3}`)).kind).toBe('reply');
    expect(await answer('Ann', 30_000)).toMatchObject({
      kind: 'refusal',
      title: 'A little slower, please',
      text: 'You asked 60 times within a minute. Go on in 30 seconds.',
    });
    expect((await answer('Ann', 59_999)).kind).toBe('refusal');
    expect(reached()).toBe(60);
    expect(heard).toEqual(['member', 'member']);
    expect((await answer('Ann', 60_000)).kind).toBe('reply');
    expect((await answer('Ann', 60_001)).kind).toBe('refusal');
    expect((await answer('Ann', 60_500)).kind).toBe('reply');
  });

  it('says that nothing was saved where something would have been', async () => {
    const { answer } = stage();
    for (let at = 0; at < 60; at++) await answer('Ann', 0);
    expect(await answer('Ann', 0, 'ember-lane', KEEP)).toMatchObject({
      kind: 'refusal',
      text: 'You asked 60 times within a minute. Go on in 60 seconds. Nothing was saved.',
    });
  });

  it('does not count what was refused, so that whoever goes on trying is let in in time', async () => {
    const { answer, reached } = stage();
    for (let at = 0; at < 60; at++) await answer('Ann', 0);
    for (let at = 1; at < 60; at++) expect((await answer('Ann', at * 1000)).kind).toBe('refusal');
    expect((await answer('Ann', 60_000)).kind).toBe('reply');
    expect(reached()).toBe(61);
  });

  it('is nobody else’s for what one member asked', async () => {
    const { answer } = stage();
    for (let at = 0; at < 100; at++) await answer('Ann', 0);
    expect((await answer('Bea', 0)).kind).toBe('reply');
  });

  it('is six hundred times for a community, and always a few times for each of its members', async () => {
    const { answer, reached, heard } = stage();
    for (let at = 0; at < 600; at++) expect((await answer(`cook ${at % 20}`, at)).kind).toBe('reply');
    expect(await answer('cook 7', 1000)).toMatchObject({
      kind: 'refusal',
      title: 'Much is asked here just now',
      text: 'This community asked 600 times within a minute. Try again in 59 seconds.',
    });
    expect((await answer('cook 7', 1000, 'elsewhere')).kind).toBe('reply');
    for (let at = 0; at < 5; at++) expect((await answer('somebody else', 1000)).kind).toBe('reply');
    expect((await answer('somebody else', 1000)).kind).toBe('refusal');
    expect(reached()).toBe(606);
    expect(heard).toEqual(['community', 'community']);
    expect((await answer('cook 7', 62_000)).kind).toBe('reply');
  });

  it('has a count of its own for suggestions, which end without a word', async () => {
    const { answer, suggest, reached } = stage();
    for (let at = 0; at < 300; at++) expect(await suggest('Ann', at)).toHaveLength(1);
    expect(await suggest('Ann', 300)).toEqual([]);
    expect(reached()).toBe(300);
    expect((await answer('Ann', 300)).kind).toBe('reply');
  });

  it('starts afresh when the clock is set back', async () => {
    const { answer } = stage();
    for (let at = 0; at < 60; at++) await answer('Ann', 3_600_000);
    expect((await answer('Ann', 3_600_001)).kind).toBe('refusal');
    expect((await answer('Ann', 0)).kind).toBe('reply');
  });
});
