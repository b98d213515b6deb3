import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { EVERY_FIELD } from '../../src/batches/facts.js';
import type { OptionName } from '../../src/batches/fields.js';
import { NOW, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

/** What the table of batches holds besides what its cook says. */
const BOOKKEEPING = [
  'community_id',
  'number',
  'member_id',
  'state',
  'started_at',
  'logged_at',
  'logged_by_interaction',
  'removed_at',
];

/** Two things to say of each fact, and how they are shown. */
const SAID: Readonly<Record<OptionName, readonly [first: string, second: string, shown: RegExp]>> = {
  fat: ['4 lb', '5 lb', /^Raw fat: 5 lb/m],
  tallow: ['2 lb', '2.5 lb', /^Tallow: 2 lb 8 oz/m],
  method: ['open-pot', 'oven', /^Method: Oven, dry$/m],
  cut: ['ground', 'cubed', /^Cut: Cubed$/m],
  kind: ['trimmings', 'suet', /^Kind of fat: suet$/m],
  lean: ['10 %', '12.5', /^Lean: 13 %$/m],
  water: ['2 L', '3 L', /^Water: .*3 L/m],
  minutes: ['180', '200', /^Time: 3 h 20 min$/m],
  'water-left': ['1 L', '0.5 L', /^Water left: .*500 ml/m],
  'weighed-as': ['disc', 're-melted', /^Weighed as: re-melted$/m],
  date: ['2026-11-20', '2026-11-21', /^Day: Saturday, 21 November 2026$/m],
  taste: ['clean', 'beefy, smoky', /^Taste: beefy, smoky$/m],
  note: ['first', 'second', /^Note: second$/m],
};
const NAMES = Object.keys(SAID) as OptionName[];
const log = `/batch log ${NAMES.map((name) => `${name}:"${SAID[name][0]}"`).join(' ')}`;
const show = async (community: string): Promise<string> =>
  (await talk.ask('/batch show number:1', { community })).lines.join('\n');

describe('the facts of a batch', () => {
  it('have a column each, and no column is nobody’s', async () => {
    const tables = await talk.db.introspection.getTables();
    const columns = tables.find(({ name }) => name === 'batches')?.columns.map(({ name }) => name);
    expect(columns?.sort()).toEqual([...BOOKKEEPING, ...EVERY_FIELD.map(({ column }) => column)].sort());
  });

  it('stand in one line each of what is shown, and five at most in the form', () => {
    expect(new Set(EVERY_FIELD.map(({ place }) => place)).size).toBe(EVERY_FIELD.length);
    expect(EVERY_FIELD.filter(({ typed }) => typed).length).toBeLessThanOrEqual(5);
  });

  it('narrow the list where a few values sort batches', async () => {
    const community = 'narrows';
    for (const [kind, tallow] of [
      ['trimmings', '2 lb'],
      ['suet', '2.5 lb'],
      ['suet', '2.6 lb'],
    ])
      await talk.ask(`/batch log fat:4lb tallow:"${tallow}" method:oven cut:cubed kind:${kind}`, {
        community,
      });
    expect((await talk.ask('/batch list kind:suet', { community })).figures.numbers).toEqual([3, 2]);
    const none = await talk.ask('/batch list kind:suet method:smoker', { community });
    expect(none.title).toBe('No smoker, suet batches yet');
  });

  it.each(EVERY_FIELD.map(({ name, label }) => [name, label]))(
    'keep what is logged, corrected and shown of %s, and what it was before',
    async (name, label) => {
      const community = `corrects ${name}`;
      const [first, second, shown] = SAID[name as OptionName];
      await talk.ask(log, { community });
      expect(await show(community)).toMatch(new RegExp(`^${label}: `, 'm'));
      const corrected = await talk.ask(`/batch correct number:1 ${name}:"${second}"`, { community });
      expect(corrected.lines.filter((line) => line.includes(' → '))).toHaveLength(1);
      expect(corrected.lines.join('\n')).toMatch(new RegExp(`^${label.toLowerCase()}: .* → `, 'm'));
      expect(await show(community)).toMatch(shown);
      const back = await talk.ask(`/batch correct number:1 ${name}:"${first}"`, { community });
      expect(back.title).toBe('Batch 1 is corrected');
    },
  );

  it.each(EVERY_FIELD.filter(({ clearable }) => clearable).map(({ name, label }) => [name, label]))(
    'can be taken out again where a batch need not say %s',
    async (name, label) => {
      const community = `clears ${name}`;
      await talk.ask(log, { community });
      await talk.ask(`/batch correct number:1 clear:${name}`, { community });
      expect(await show(community)).not.toMatch(new RegExp(`^${label}: `, 'm'));
      expect(await show(community)).toMatch(new RegExp(`^· ${label.toLowerCase()}: .* → no`, 'm'));
    },
  );

  it('are read from before one of them was known', async () => {
    const community = 'older';
    await talk.ask(log, { community });
    await talk.ask('/batch correct number:1 note:second', { community });
    const old = JSON.stringify({
      method: 'oven',
      cut: 'ground',
      fat_g: 1000,
      tallow_g: 500,
      finished_at: NOW,
    });
    await talk.db
      .updateTable('batch_changes')
      .set({ before: old })
      .where('community_id', '=', community)
      .execute();
    expect(await show(community)).toContain('· kind of fat: not said → trimmings');
  });
});
