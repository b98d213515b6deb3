import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readActionId } from '../../src/chat/action.js';
import { subcommandsOf } from '../../src/chat/command.js';
import { quoteIfNeeded } from '../../src/chat/option.js';
import { cautionsOf } from '../../src/chat/reply.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

/** Discord, Application Commands: names are 1 to 32 of these, descriptions 1 to 100 characters, options at most 25. */
const NAME = /^[-_'\p{Ll}\p{N}]{1,32}$/u;

const everySubcommand = () =>
  talk.conversation.commands.flatMap((command) => subcommandsOf(command).map((one) => ({ command, ...one })));

describe('every command', () => {
  it('has names and descriptions that Discord accepts', () => {
    for (const { command, path, subcommand } of everySubcommand()) {
      for (const name of path) expect(name).toMatch(NAME);
      for (const text of [command.description, subcommand.description]) {
        expect(text.length).toBeGreaterThan(0);
        expect(text.length).toBeLessThanOrEqual(100);
      }
      const options = Object.entries(subcommand.options);
      expect(options.length).toBeLessThanOrEqual(25);
      for (const [name, option] of options) {
        expect(name).toMatch(NAME);
        expect(option.description.length).toBeLessThanOrEqual(100);
      }
    }
  });

  it('has an example for each option that its own parser understands', () => {
    for (const { path, subcommand } of everySubcommand()) {
      for (const [name, option] of Object.entries(subcommand.options)) {
        expect([path.join(' '), name, option.parse(option.example).ok]).toEqual([path.join(' '), name, true]);
      }
    }
  });

  it('answers or refuses its own examples, all options at once, without a fault', async () => {
    for (const { path, subcommand } of everySubcommand()) {
      const options = Object.entries(subcommand.options).map(
        ([name, option]) => `${name}:${quoteIfNeeded(option.example)}`,
      );
      const outcome = await talk.hear(`/${[...path, ...options].join(' ')}`, { admin: true });
      expect(['reply', 'refusal', 'form']).toContain(outcome.kind);
      if (outcome.kind !== 'reply') continue;
      expect(cautionsOf(outcome).length).toBeLessThanOrEqual(5);
      for (const { id } of outcome.actions) expect(readActionId(id)).toBeDefined();
    }
  });

  it('is explained by /help', async () => {
    for (const { name } of talk.conversation.commands) {
      const reply = await talk.ask(`/help about:${name}`);
      expect(reply.title).toBe(`/${name}`);
    }
  });

  it('never shouts', async () => {
    for (const { path, subcommand } of everySubcommand()) {
      expect([path, subcommand.description].join(' ')).not.toContain('!');
    }
  });

  it('is only for managers where it changes the community', async () => {
    for (const { command, path, subcommand } of everySubcommand()) {
      if (command.who !== 'managers') continue;
      const options = Object.entries(subcommand.options).map(
        ([name, option]) => `${name}:${quoteIfNeeded(option.example)}`,
      );
      const refusal = await talk.refuse(`/${[...path, ...options].join(' ')}`);
      expect(refusal.title).toBe('Not for you to change');
    }
  });

  it('keeps to a server where it says so', async () => {
    for (const { command, path } of everySubcommand()) {
      if (command.where !== 'server') continue;
      expect((await talk.refuse(`/${path.join(' ')}`, { where: 'direct', admin: true })).title).toBe(
        'Only in a community',
      );
    }
  });

  it('says what it takes, so that what is quick does not wait for pictures and plans', () => {
    const workOf = (...path: string[]) =>
      talk.conversation.foresee({ kind: 'command', path, given: {} }).work;
    const pressed = (id: string) => talk.conversation.foresee({ kind: 'press', id, fields: {} }).work;
    for (const path of [['water'], ['batch', 'log'], ['safety'], ['yield', 'forecast'], ['nonsense']])
      expect([path, workOf(...path)]).toEqual([path, 'quick']);
    for (const path of [['plan'], ['yield', 'next'], ['yield', 'odd']])
      expect([path, workOf(...path)]).toEqual([path, 'long']);
    for (const path of [
      ['yield', 'compare'],
      ['yield', 'mine'],
      ['weekly', 'preview'],
    ])
      expect([path, workOf(...path)]).toEqual([path, 'picture']);
    expect(pressed('v1|plan.working|working-1')).toBe('quick');
    expect(pressed('v1|weekly.take-on|oven|ground|2000')).toBe('long');
    expect(pressed('nothing of ours')).toBe('quick');
  });

  it('meets an unknown command, a half one and an old button with what would have worked', async () => {
    expect((await talk.refuse('/nonsense')).text).toContain('/water');
    expect((await talk.refuse('/batch')).text).toContain('/batch log');
    expect((await talk.refuse('press:v1|nothing|1')).text).toContain('Ask again');
    expect((await talk.refuse('press:v0|batch.keep|1')).text).toContain('Ask again');
  });
});
