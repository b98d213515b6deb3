import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { LIMITS } from '../../src/discord/limits.js';
import { replyPayload } from '../../src/discord/payload.js';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { forCook } from '../../src/safety/local-figures.js';
import { briefCitation } from '../../src/safety/sources.js';
import { SAFETY_TOPICS } from '../../src/safety/topics.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const stored = () => talk.db.selectFrom('near_misses').selectAll().execute();

describe('/safety', () => {
  /** Every page of a reply that goes on behind a button, from the first on. */
  async function pagesOf(line: string, next: string) {
    const pages = [await talk.ask(line)];
    for (;;) {
      const more = pages.at(-1)?.actions.find(({ label }) => label === next);
      if (more === undefined) return pages;
      pages.push(await talk.ask(`press:${more.id}`));
    }
  }

  const wordsOf = ({ title, lines, note = '' }: Reply) =>
    [title, ...lines, note].join(' ').split(/\s+/).length;

  it('has a headline for every topic, on pages of 90 words at most', async () => {
    const pages = await pagesOf('/safety', 'More topics');
    const said = pages.flatMap(({ lines }) => lines).join('\n');
    for (const { label, headline } of SAFETY_TOPICS) expect(said).toContain(`${label}: ${headline}`);
    for (const page of pages) expect(wordsOf(page)).toBeLessThanOrEqual(90);
    expect(pages[0]?.figures.cautions).toBe(CAUTIONS.length);
  });

  // USDA: tallow by analogy with bacon grease (FoodKeeper), ground beef 1 to 2 days, thaw in the refrigerator.
  it('names by hand what matters most of storing and of raw fat', () => {
    const headline = (topic: string) => SAFETY_TOPICS.find(({ value }) => value === topic)?.headline;
    expect(headline('storage')).toMatch(/refrigerate tallow/);
    expect(headline('raw-meat')).toMatch(/1 to 2 days; thaw cold/);
  });

  it.each(SAFETY_TOPICS)('says what to do about $value, all of it on short pages', async ({ value }) => {
    const pages = await pagesOf(`/safety topic:${value}`, 'More');
    const about = CAUTIONS.filter(({ topics }) => topics.includes(value));
    expect(pages.flatMap(({ lines }) => lines)).toEqual(about.map(({ short }) => forCook(short)));
    for (const page of pages) expect(wordsOf(page)).toBeLessThanOrEqual(90);
  });

  it.each([
    ['pets', 'children'],
    ['kids', 'children'],
    ['soap', 'lye'],
    ['botulism', 'botulism'],
    ['reused fat', 'reused-fat'],
    ['jar breakage', 'jars'],
    ['salt', 'sodium'],
    ['milk', 'allergens'],
    ['turkey fryer', 'burners'],
    ['heavy', 'lifting'],
    ['rancid', 'rancid'],
  ])('understands %s as %s', async (asked, topic) => {
    expect((await talk.ask(`/safety topic:"${asked}"`)).lines).toEqual(
      (await talk.ask(`/safety topic:${topic}`)).lines,
    );
  });

  // IAPWS-IF97 and ISO 2533, computed beside this project: water boils at 199.16 °F at 7,000 ft.
  it('works its figures out for where the cook’s kit is', async () => {
    await talk.ask('/kit add altitude:"7000 ft"', { as: 'Odile' });
    const reply = await talk.ask('/safety topic:jars', { as: 'Odile' });
    expect(reply.lines.join(' ')).toContain('below 189 °F (87 °C)');
    expect((await talk.ask('/safety topic:jars', { as: 'Bram' })).lines.join(' ')).toContain('200 °F');
  });

  it('takes a near miss, once however often it arrives, and does not say who reported it', async () => {
    const line = '/safety topic:burns report:"A splash just missed my arm"';
    await talk.ask(line, { as: 'Odile', interaction: 'twice' });
    await talk.ask(line, { as: 'Odile', interaction: 'twice' });
    expect(await stored()).toHaveLength(1);
    const read = await talk.ask('press:v1|safety.read', { as: 'Marlow', admin: true });
    expect(read.lines.join()).toContain('A splash just missed my arm');
    expect(read.lines.join()).not.toContain('Odile');
    expect(read.audience).toBe('only you');
  });

  it('shows reports to nobody but those who manage the community, and to those of no other', async () => {
    await talk.ask('/safety report:"A splash just missed my arm"');
    expect((await talk.refuse('press:v1|safety.read', { as: 'Odile' })).text).not.toContain('splash');
    const elsewhere = await talk.ask('press:v1|safety.read', { admin: true, community: 'other' });
    expect(elsewhere.figures.nearMisses).toBe(0);
    expect((await talk.ask('/safety')).actions.map(({ id }) => id)).not.toContain('v1|safety.read');
    const manager = await talk.ask('/safety', { admin: true });
    expect(manager.actions.map(({ id }) => id)).toContain('v1|safety.read');
  });

  it('takes a few from one member in an hour and in a day, and those of others all the same', async () => {
    const report = (hour: number, minute: number, as = 'Odile') =>
      talk.hear('/safety report:"The lid rattled"', {
        as,
        now: new Date(Date.UTC(2026, 10, 25, hour, minute)).toISOString(),
      });
    const kinds = async (times: readonly (readonly [number, number])[]) => {
      const met: string[] = [];
      for (const [hour, minute] of times) met.push((await report(hour, minute)).kind);
      return met;
    };
    expect(
      await kinds([
        [0, 0],
        [0, 1],
        [0, 2],
        [0, 3],
        [0, 59],
      ]),
    ).toEqual(['reply', 'reply', 'reply', 'refusal', 'refusal']);
    expect((await report(0, 4, 'Bram')).kind).toBe('reply');
    expect(
      await kinds([
        [1, 0],
        [2, 30],
        [2, 31],
        [4, 0],
        [5, 0],
        [6, 0],
        [7, 0],
      ]),
    ).not.toContain('refusal');
    const refused = await report(8, 0);
    expect(refused).toMatchObject({ kind: 'refusal', title: 'You have reported several already' });
    expect(refused.kind === 'refusal' && refused.text).toMatch(/Nothing was saved\.$/);
    expect(await stored()).toHaveLength(11);
  });

  it('holds that limit when many arrive at once, and takes one that arrives twice for one', async () => {
    const line = '/safety report:"The lid rattled"';
    const met = await Promise.all(Array.from({ length: 20 }, () => talk.hear(line, { as: 'Odile' })));
    expect(met.filter(({ kind }) => kind === 'reply')).toHaveLength(3);
    expect(await stored()).toHaveLength(3);
    const [first] = await stored();
    expect((await talk.hear(line, { as: 'Odile', interaction: first?.interaction ?? '' })).kind).toBe(
      'reply',
    );
    expect(await stored()).toHaveLength(3);
  });

  it('takes as much text as it says, in characters as people count them', async () => {
    await talk.ask(`/safety report:"${'😀'.repeat(1000)}"`);
    expect((await talk.refuse(`/safety report:"${'😀'.repeat(1001)}"`)).text).toContain(
      '1000 characters at most',
    );
    expect(await stored()).toHaveLength(1);
  });

  it('has a form for it behind a button', async () => {
    const form = await talk.hear('press:v1|safety.report');
    expect(form).toMatchObject({ kind: 'form', fields: [{ name: 'report' }, { name: 'topic' }] });
    await talk.ask('press:v1|safety.report report:"The lid rattled" topic:pressure');
    expect(await stored()).toMatchObject([{ report: 'The lid rattled', topic: 'pressure' }]);
  });

  it('keeps a report whose topic cannot be read, without one', async () => {
    const reply = await talk.ask('press:v1|safety.report report:"The lid rattled" topic:"grease fire"');
    expect(reply.lines.at(-1)).toContain('kept without a topic');
    expect(await stored()).toMatchObject([{ report: 'The lid rattled', topic: null }]);
  });

  it('lets whoever manages the community read all of them, some at a time', async () => {
    const all = [...Array(8).keys()].map((at) => `${at} ${'x'.repeat(990)}`);
    for (const [at, report] of all.entries())
      await talk.ask(`/safety report:"${report}"`, { as: `Cook ${at}`, now: `2026-11-25T18:00:0${at}Z` });
    const read: string[] = [];
    let press: string | undefined = 'press:v1|safety.read';
    while (press !== undefined) {
      const page = await talk.ask(press, { admin: true });
      expect(page.figures.nearMisses).toBe(8);
      expect(page.lines.join('\n').length).toBeLessThan(LIMITS.embedDescription);
      read.push(...page.lines);
      press = page.actions[0] && `press:${page.actions[0].id}`;
    }
    for (const report of all) expect(read.filter((line) => line.endsWith(report))).toHaveLength(1);
  });

  it('loses none of them however much of a report has to be escaped', async () => {
    for (const at of [0, 1, 2, 3])
      await talk.ask(`/safety report:"${at} ${'*'.repeat(990)}"`, {
        as: `Cook ${at}`,
        now: `2026-11-25T18:00:0${at}Z`,
      });
    let shown = '';
    for (let press = 'press:v1|safety.read'; press !== ''; ) {
      const page = await talk.ask(press, { admin: true });
      const { description = '' } = replyPayload(page).body.embeds[0] ?? {};
      expect(description).not.toContain('…');
      shown += description;
      press = page.actions[0] ? `press:${page.actions[0].id}` : '';
    }
    for (const at of [0, 1, 2, 3]) expect(shown.split(`: ${at} `)).toHaveLength(2);
  });

  it('shows more short reports at once than long ones', async () => {
    for (const at of [0, 1, 2, 3, 4])
      await talk.ask(`/safety report:"${at} rattled"`, { as: `Cook ${at}`, now: `2026-11-25T18:00:0${at}Z` });
    const page = await talk.ask('press:v1|safety.read', { admin: true });
    expect(page.lines).toHaveLength(5);
    expect(page.title).toBe('Near misses, the newest first');
    expect(page.actions).toEqual([]);
  });

  it.each(SAFETY_TOPICS)(
    'tells every caution about $value whole and with its sources in one message',
    async ({ value }) => {
      const first = await talk.ask(`/safety topic:${value}`);
      const why = first.actions.find(({ label }) => label.startsWith('Why'));
      const reply = await talk.ask(`press:${why?.id}`);
      expect(reply).toEqual({ ...(await talk.ask(`/safety topic:${value} details:yes`)), actions: [] });
      const said = reply.lines.join('\n');
      const about = CAUTIONS.filter(({ topics }) => topics.includes(value));
      for (const { short, long, disagreement = '' } of about)
        for (const part of [short, long, disagreement]) expect(said).toContain(forCook(part));
      expect(reply.lines.at(-1)).toMatch(/ above (?:this|all of this)\.$/);
      const [embed] = replyPayload(reply).body.embeds;
      expect(embed?.description).not.toMatch(/…/);
      expect(embed?.description?.length).toBeLessThanOrEqual(LIMITS.embedDescription);
      for (const source of about.flatMap(({ sources }) => sources))
        expect(embed?.footer?.text).toContain(briefCitation(source));
    },
  );

  it('names the button that was pressed to whoever may not press it', async () => {
    const refused = await talk.refuse('press:v1|safety.read', { as: 'Odile' });
    expect(refused.title).toBe('Not for you to read');
    expect(refused.text).toContain('“Read near misses” is for those who may manage this community.');
    expect(refused.text).not.toContain('/safety');
  });

  it('takes none in a direct conversation, which nobody manages', async () => {
    await talk.refuse('/safety report:"The lid rattled"', { where: 'direct' });
    expect((await talk.ask('/safety', { where: 'direct' })).lines.join(' ')).not.toContain('report:');
    expect(await stored()).toEqual([]);
    const direct = await talk.ask('/safety', { where: 'direct' });
    expect(direct.actions.map(({ label }) => label)).toEqual(['More topics']);
  });
});
