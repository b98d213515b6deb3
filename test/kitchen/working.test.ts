import type { KyselyPlugin } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allCommands } from '../../commands/index.js';
import { converse } from '../../src/chat/dispatch.js';
import type { Reply } from '../../src/chat/reply.js';
import { numberIn, openTalk, speak, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const said = (reply: Reply) => reply.lines.join('\n');

function workingId(reply: Reply): string {
  const [shown] = reply.actions.filter(({ label }) => label === 'Show the working');
  if (shown === undefined) throw new Error(`${reply.title} has no working to show`);
  return shown.id;
}

const CALCULATIONS = [
  '/water fat:"5 lb" method:open-pot altitude:"5280 ft" minutes:240',
  '/plan tallow:"6 cups" by:"Saturday 6pm"',
  '/blend butter total:"3 cups" salt:1.2%',
  '/blend salted tallow:"2 cups" water:"3 tbsp"',
  '/smoke tallow:1kg',
] as const;

describe('Show the working', () => {
  it.each(CALCULATIONS)('is one reply for whoever asks: %s', async (line) => {
    const reply = await talk.ask(line);
    const id = workingId(reply);
    expect(id.length).toBeLessThanOrEqual(100);
    expect(id).not.toContain(' ');
    expect(talk.conversation.foresee({ kind: 'press', id, fields: {} }).audience).toBe('only you');
    const working = await talk.ask(`press:${id}`, { as: 'Somebody else' });
    expect(working.audience).toBe('only you');
    expect(working.title).toBe(`The working: ${reply.title}`);
    expect(working.actions).toEqual([]);
  });

  it.each(CALCULATIONS)(
    'says whose figure each input is and names a source for each constant: %s',
    async (line) => {
      const working = await talk.ask(`press:${workingId(await talk.ask(line))}`);
      const firstPart = working.lines.findIndex((text) =>
        /^[A-Z][\w -]*: .* = |^[A-Z][\w -]*: counted/.test(text),
      );
      expect(firstPart).toBeGreaterThan(0);
      for (const input of working.lines.slice(0, firstPart))
        expect(input).toMatch(/^(?:Said|From the kit|From this community|Assumed, as nothing was said): /);
      for (const given of working.lines.filter((text) => text.startsWith('Given: ')))
        for (const constant of given.replace(/\.$/, '').split('; ')) expect(constant).toMatch(/\[[\w, ]+\]$/);
      // Every number in brackets is a source at the foot, and every source is referred to.
      const referred = new Set(
        [...said(working).matchAll(/\[([\d, ]+)\]/g)].flatMap(([, marks = '']) =>
          marks.split(', ').map(Number),
        ),
      );
      expect([...referred].sort((a, b) => a - b)).toEqual(working.sources.map((_, place) => place + 1));
      expect(said(working)).toContain('So: ');
    },
  );

  it.each(CALCULATIONS)('calls nobody “you”, whoever presses: %s', async (line) => {
    const cook = { as: 'Sorrel' };
    await talk.ask('/kit add vessel:kettle capacity:"12 qt" altitude:"5280 ft"', cook);
    const working = await talk.ask(`press:${workingId(await talk.ask(line, cook))}`, cook);
    expect([working.title, said(working)].join(' ')).not.toMatch(/\byou(?:r|rs)?\b/i);
  });

  it('tells what was said from what was assumed', async () => {
    const working = await talk.ask(`press:${workingId(await talk.ask(CALCULATIONS[0]))}`);
    expect(said(working)).toMatch(/^Said: .*Altitude 5280 ft \(1609 m\)/m);
    expect(said(working)).toMatch(/^Assumed, as .*Lid off/m);
    expect(said(working)).toMatch(/^Assumed, as .*Vessel 10 qt/m);
  });

  it('does not change when the kit does', async () => {
    const cook = { as: 'Lovage' };
    await talk.ask('/kit add vessel:kettle capacity:"12 qt" altitude:"5280 ft"', cook);
    const id = workingId(await talk.ask('/water fat:"5 lb"', cook));
    const before = await talk.ask(`press:${id}`, cook);
    await talk.ask('/kit remove what:kettle', cook);
    await talk.ask('/kit add altitude:"0 ft"', cook);
    expect(await talk.ask(`press:${id}`, cook)).toEqual(before);
    expect(said(before)).toMatch(/^From the kit: .*Vessel kettle, 12 qt/m);
  });

  it('is kept for its own community only', async () => {
    const reply = await talk.ask(
      '/water fat:"5 lb" method:open-pot cut:minced vessel:"12 qt" altitude:"5280 ft" burner:"15000 BTU/h" burner-kind:gas lid:ajar minutes:"3 h"',
    );
    const id = workingId(reply);
    const working = await talk.ask(`press:${id}`);
    expect(said(working)).toMatch(/^Said: .*Burner 4400 W, gas/m);
    expect((await talk.refuse(`press:${id}`, { community: 'elsewhere' })).title).toBe('That is too long ago');
  });

  it('says what a long one leaves out, and where that is shown', async () => {
    const options =
      'fat:"20 lb" vessel:"12 qt" minutes:"8 h" burner:2kW burner-kind:gas altitude:5280ft lean:10% cut:minced';
    const working = await talk.ask(`press:${workingId(await talk.ask(`/plan ${options} frozen:yes`))}`);
    expect(said(working)).toMatch(/Left out for want of room: top-ups.*\/water shows/);
    const elsewhere = await talk.ask(`press:${workingId(await talk.ask(`/water ${options}`))}`);
    expect(said(elsewhere)).toContain('Top-ups: ');
    const short = await talk.ask(`press:${workingId(await talk.ask('/smoke tallow:1kg'))}`);
    expect(said(short)).not.toContain('Left out');
  });

  it('shows the same figures as the reply it belongs to', async () => {
    const reply = await talk.ask(CALCULATIONS[0]);
    const working = await talk.ask(`press:${workingId(reply)}`);
    const boiling = working.figures.Boiling;
    if (boiling === null || typeof boiling !== 'object' || Array.isArray(boiling))
      throw new Error('the working has a part called Boiling');
    expect(boiling).toMatchObject({ 'Boiling point': numberIn(reply, 'boilC') });
  });

  it('is left out where it cannot be kept just now: the answer comes all the same', async () => {
    const missed: unknown[] = [];
    const keepsNothing: KyselyPlugin = {
      transformQuery({ node }) {
        if (node.kind === 'InsertQueryNode') throw new Error('nothing can be kept');
        return node;
      },
      transformResult: async ({ result }) => result,
    };
    const conversation = converse(allCommands(talk.db.withPlugin(keepsNothing)), (error) =>
      missed.push(error),
    );
    const answer = await speak(conversation, '/smoke tallow:1kg');
    expect(answer).toMatchObject({ kind: 'reply', title: 'About 2 h for a light smoke', actions: [] });
    expect(missed).toHaveLength(1);
  });

  // Buttons of earlier days carried what was asked in their ids.
  it.each([
    'press:v1|water.working|fat=5+lb',
    'press:v1|water.working|fat=5+lb|method=open-pot|altitude=5280+ft',
    'press:v1|plan.working|tallow=6+cups|@mf3k2j1',
    'press:v1|water.working|#working-100',
  ])('asks whoever presses a button of earlier days to ask again: %s', async (line) => {
    const refused = await talk.refuse(line);
    expect(refused.title).toBe('That button is out of date');
    expect(refused.text).toBe('Ask again with the command to get a fresh one.');
  });

  it.each([
    'press:v1|water.working',
    'press:v1|water.working|nonsense',
    'press:v1|water.working|fat=%',
    'press:v1|water.working|working-no-such-draft',
    'press:v1|water.working|~1,2',
  ])('refuses a button that was tampered with: %s', async (line) => {
    expect((await talk.refuse(line)).text).not.toContain('saved');
  });
});
