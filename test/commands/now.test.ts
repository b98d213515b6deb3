import { describe, expect, it } from 'vitest';
import { allCommands } from '../../commands/index.js';
import type { Answer } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { rateLimited } from '../../src/chat/rate-limit.js';
import type { Reply } from '../../src/chat/reply.js';
import { takingTurns, turnsWith } from '../../src/chat/turns.js';
import { startSession, terminalPlatform } from '../../src/console/session.js';
import { openRecords } from '../../src/records/database.js';
import { EMERGENCIES, EMERGENCY_CHOICES } from '../../src/safety/emergencies.js';
import { speak } from '../support/talk.js';

/** Nothing listens there: whatever needs the records fails. */
const nowhere = openRecords('postgres://nobody@127.0.0.1:1/none', () => {});
const faults: unknown[] = [];
const conversation = converse(allCommands(nowhere), (error) => faults.push(error));

const answered = (answer: Answer): Reply => {
  if (answer.kind !== 'reply') throw new Error(`not answered but met with ${JSON.stringify(answer)}`);
  return answer;
};
const ask = async (line: string, where: 'server' | 'direct' = 'server') =>
  answered(await speak(conversation, line, { where }));

const firstOf = (name: keyof typeof EMERGENCIES) => EMERGENCIES[name].first;

describe('an emergency', () => {
  it.each(['server', 'direct'] as const)(
    'is answered in three lines within a second without any records, from a %s',
    async (where) => {
      const lines = [
        '/fire',
        '/burn',
        '/now',
        ...EMERGENCY_CHOICES.map(({ value }) => `/now what:"${value}"`),
      ];
      for (const line of lines) {
        const before = performance.now();
        const { title, lines: under, cautions, sources, actions } = await ask(line, where);
        expect([line, performance.now() - before < 1000]).toEqual([line, true]);
        expect(title.split(' ').length).toBeLessThanOrEqual(12);
        expect([line, 1 + under.length + cautions.length + sources.length <= 3]).toEqual([line, true]);
        expect([title, ...under].join(' ')).not.toMatch(/(?:^|\s)\/[a-z]/);
        expect(actions.length).toBeGreaterThan(0);
      }
      expect(faults).toEqual([]);
    },
  );

  it.each([
    ['/fire', 'fire'],
    ['/FIRE', 'fire'],
    ['/fier', 'fire'],
    ['/fyre', 'fire'],
    ['/fire kitchen', 'fire'],
    ['/fire what:anything', 'fire'],
    ['/grease fire', 'fire'],
    ['/now fire', 'fire'],
    ['/now what:fyre', 'fire'],
    ['/now what:"my pot is on fire"', 'fire'],
    ['/burn', 'burn'],
    ['/brun', 'burn'],
    ['/now what:brun', 'burn'],
    ['/now what:boiling', 'boiling over'],
    ['/now somewhere:"it stood out"', 'stood out'],
  ] as const)('is understood however it is written: %s', async (line, name) => {
    expect((await ask(line)).title).toBe(firstOf(name));
  });

  it('that cannot be told is asked for, with the first act in the question and every answer on a button', async () => {
    for (const line of ['/now', '/now what:xyzzy', '/now please']) {
      const { title, actions } = await ask(line);
      expect(title).toMatch(/^Heat off/);
      expect(actions).toHaveLength(EMERGENCY_CHOICES.length);
      for (const [at, { id }] of actions.entries())
        expect((await ask(`press:${id}`)).title).toBe(firstOf(EMERGENCY_CHOICES[at]?.value ?? 'fire'));
    }
  });

  it('has its reasons and sources one press away', async () => {
    // NFPA and the burn bodies, as the tests of the table name them.
    for (const [what, body] of [
      ['fire', 'NFPA'],
      ['burn', 'Burn associations'],
      ['smoke', 'CPSC'],
      ['must leave', 'FSIS'],
    ]) {
      const { actions } = await ask(`/now what:"${what}"`);
      const more = await ask(`press:${actions.find(({ label }) => label === 'More')?.id}`);
      expect(more.sources.join(' ')).toContain(body);
      expect(more.lines.length).toBeGreaterThan(0);
    }
  });

  it.each([
    'grease fire',
    'help! my pot is on fire',
    'I burned my hand',
    'it is boiling over!',
    '/fire!!! now',
  ])('is heard in a sentence in the terminal: %s', async (line) => {
    let written = '';
    const session = startSession({
      conversation,
      speaker: { name: 'Tansy', community: 'ember-lane', mayManage: false },
      json: false,
      clock: () => new Date('2026-11-25T18:00:00Z'),
      newInteraction: () => 'one',
      platform: terminalPlatform,
      savePicture: async () => '',
      write: (text) => {
        written += text;
      },
    });
    expect(await session.answer(line)).toBe('answered');
    expect(Object.values(EMERGENCIES).some(({ first }) => written.startsWith(first))).toBe(true);
  });

  it('is not heard in a line for another command', async () => {
    for (const line of ['/batch fire', '/smoke fire', '/nonsense'])
      expect((await speak(conversation, line)).kind).toBe('refusal');
    expect(conversation.overheard('/smoke the pan is smoking')).toBeUndefined();
    expect(conversation.overheard('how much water for 4 lb')).toBeUndefined();
  });

  it('waits for no turn', async () => {
    const never = { inAll: 0, ofOne: 0 };
    const stuck = takingTurns(conversation, turnsWith({ quick: never, long: never, picture: never }));
    expect(answered(await speak(stuck, '/fire')).title).toBe(firstOf('fire'));
  });

  it('is answered also to a member and a community that have asked too much', async () => {
    const limited = rateLimited(conversation);
    for (let asked = 0; asked < 61; asked++) await speak(limited, '/nonsense');
    expect((await speak(limited, '/nonsense')).kind).toBe('refusal');
    for (const line of ['/fire', '/burn', '/brun', '/now what:spill'])
      expect((await speak(limited, line)).kind).toBe('reply');
  });
});

describe('what stood out', () => {
  const press = async (labels: readonly string[]): Promise<Reply> => {
    let reply = await ask('/now what:"stood out"');
    for (const label of labels) {
      const action = reply.actions.find((one) => one.label.startsWith(label));
      if (action === undefined) throw new Error(`${reply.title} has no button ${label}`);
      reply = await ask(`press:${action.id}`);
    }
    return reply;
  };

  // USDA FSIS, Danger Zone: 2 hours at most between 40 and 140 °F, 1 hour above 90 °F.
  it.each([
    [['Up to 1 hour'], 1],
    [['1 to 2 hours', '90 °F'], 1],
    [['1 to 2 hours', 'Above 90 °F'], 0],
    [['Over 2 hours'], 0],
  ])('is kept or thrown away after two presses at most: %j', async (labels, keep) => {
    const reply = await press(labels);
    expect(reply.figures).toMatchObject({ keep, standingHours: 2, standingHoursHot: 1, heldHotC: 60 });
    expect(reply.title).toMatch(keep === 1 ? /^Keep it/ : /^Throw it away/);
    expect(reply.sources.join(' ')).toContain('FSIS');
  });

  it('is not made safe by boiling, and clear tallow is told apart', async () => {
    const { lines } = await press(['Over 2 hours']);
    expect(lines.join(' ')).toMatch(/Boiling it again does not make it safe.*Clear dry tallow/);
  });

  it('refuses a button that was made up', async () => {
    for (const id of ['v1|now.stood|never', 'v1|now.tell|flood', 'v1|now.stood|short|cold'])
      expect((await speak(conversation, `press:${id}`)).kind).toBe('refusal');
  });
});
