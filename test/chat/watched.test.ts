import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { Origin } from '../../src/chat/call.js';
import { command, formOf, handler, subcommand } from '../../src/chat/command.js';
import { converse, type Request } from '../../src/chat/dispatch.js';
import { words } from '../../src/chat/options.js';
import type { Outbox, Posted } from '../../src/chat/platform.js';
import { refusal, reply } from '../../src/chat/reply.js';
import { type Met, watched, watchedOutbox } from '../../src/chat/watched.js';

const option = words({ description: 'What', required: false, maxLength: 60, example: 'tallow' });
const say = command({
  name: 'say',
  description: 'Says',
  subcommands: {
    well: subcommand({
      description: 'Says',
      options: { what: option },
      run: () => reply({ title: 'Said', lines: [] }),
    }),
    form: subcommand({
      description: 'Asks',
      options: {},
      run: () => formOf('v1|say.again', 'Again', { what: option }),
    }),
    broken: subcommand({
      description: 'Breaks',
      options: {},
      run: () => {
        throw new Error('broken');
      },
    }),
  },
  handlers: {
    'say.again': handler({
      audience: 'everyone',
      args: z.tuple([z.string()]),
      press: () => refusal('Not again', 'Once is enough.'),
    }),
  },
});

const origin: Origin = {
  member: { id: 'Ann', name: 'Ann', mayManage: false },
  community: 'ember-lane',
  where: 'server',
  channel: undefined,
  interaction: '1',
  now: new Date('2026-11-25T18:00:00Z'),
  platform: { channel: async () => undefined, messageLink: () => undefined },
  application: 'bot',
};
const typed = (path: string): Request => ({ kind: 'command', path: path.split(' '), given: {} });
const pressed = (id: string): Request => ({ kind: 'press', id, fields: {} });

function stage() {
  const met: Met[] = [];
  let nowMs = 0;
  const clockMs = () => {
    nowMs += 5;
    return nowMs;
  };
  return {
    met,
    conversation: watched(
      converse([say], () => {}),
      clockMs,
      (one) => met.push(one),
    ),
  };
}

describe('a conversation that is watched', () => {
  it.each([
    [typed('say well'), '/say well', 'reply'],
    [typed('say form'), '/say form', 'form'],
    [typed('say broken'), '/say broken', 'fault'],
    [pressed('v1|say.again|7'), 'say.again', 'refusal'],
    [typed('my phone 555-0100'), 'unknown', 'refusal'],
    [typed('say'), 'unknown', 'refusal'],
    [pressed('v1|my phone|1'), 'unknown', 'refusal'],
    [pressed('nothing of ours'), 'unknown', 'refusal'],
  ])(
    'tells how long %o took and what came of it, by names of the bot’s own',
    async (request, asked, outcome) => {
      const { met, conversation } = stage();
      expect((await conversation.answer(request, origin)).kind).toBe(outcome);
      expect(met).toEqual([{ asked, outcome, ms: 5 }]);
    },
  );

  it('tells of suggestions too', async () => {
    const { met, conversation } = stage();
    await conversation.suggest(['say', 'well'], 'what', '', {}, origin);
    expect(met).toEqual([{ asked: '/say well', outcome: 'suggestions', ms: 5 }]);
  });
});

describe('an outbox that is watched', () => {
  it('tells how each post went, and passes it on', async () => {
    const heard: string[] = [];
    const outbox: Outbox = {
      async post({ channel }) {
        if (channel === 'down') throw new Error('the line is down');
        const said: Readonly<Record<string, Posted>> = {
          shut: { kind: 'closed', why: 'it is shut' },
          odd: { kind: 'refused', why: 'who knows' },
          slow: { kind: 'later', why: 'it is slow', waitMs: 1000 },
        };
        return said[channel] ?? { kind: 'posted', message: '1' };
      },
      find: async () => 'found',
      names: async () => ({ community: undefined, channel: undefined }),
      tellManagers: async () => true,
    };
    const seen = watchedOutbox(outbox, (how) => heard.push(how));
    const message = (channel: string) => ({
      community: 'ember-lane',
      channel,
      nonce: 'n',
      reply: reply({ title: 'The week', lines: [] }),
    });
    expect(await seen.post(message('open'))).toEqual({ kind: 'posted', message: '1' });
    expect(await seen.post(message('shut'))).toEqual({ kind: 'closed', why: 'it is shut' });
    expect(await seen.post(message('odd'))).toMatchObject({ kind: 'refused' });
    expect(await seen.post(message('slow'))).toMatchObject({ kind: 'later' });
    await expect(seen.post(message('down'))).rejects.toThrow('the line is down');
    expect(heard).toEqual(['sent', 'closed', 'failed', 'failed', 'failed']);
    expect(await seen.find('open', 'n', new Date(0))).toBe('found');
  });
});
