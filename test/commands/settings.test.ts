import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { subcommandsOf } from '../../src/chat/command.js';
import { communitySettings } from '../../src/records/communities.js';
import { anyChannel, numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const line = '/settings weekly channel:#rendering day:sunday hour:18 zone:America/Chicago';

describe('/settings weekly', () => {
  it('is kept, and says when the first post comes, at local time', async () => {
    // 18:00 on Sunday, 29 November 2026 in Chicago is midnight UTC.
    const reply = await talk.ask(line, { admin: true });
    expect(new Date(numberIn(reply, 'firstPostMs')).toISOString()).toBe('2026-11-30T00:00:00.000Z');
    const settings = await communitySettings(talk.db, 'ember-lane');
    expect(settings.weekly).toMatchObject({
      channel: 'rendering',
      day: 7,
      hour: 18,
      zone: 'America/Chicago',
    });
    expect((await talk.ask('/settings show', { admin: true })).lines.join(' ')).toContain('Sundays at 18:00');
  });

  it('takes the name of a city for its zone', async () => {
    await talk.ask(line.replace('America/Chicago', '"new york"'), { admin: true });
    expect((await communitySettings(talk.db, 'ember-lane')).weekly?.zone).toBe('America/New_York');
  });

  it.each([
    ['', 'In both US and metric units.'],
    ['units:us', 'In US units.'],
    ['units:metric', 'In metric units.'],
  ])('says which units the post is in: %s', async (units, words) => {
    const set = await talk.ask(`${line} ${units}`, { admin: true });
    expect(set.lines.join(' ')).toContain(words);
    const shown = await talk.ask('/settings show', { admin: true });
    expect(shown.lines.join(' ')).toContain(words);
  });

  it('lists all that could not be read at once, the zone too', async () => {
    const typed = line.replace('America/Chicago', 'Atlantis').replace('sunday', 'someday');
    const { text } = await talk.refuse(typed, { admin: true });
    expect(text).toContain('someday');
    expect(text).toContain('Atlantis');
  });

  it('names what is missing where the bot may not post, and keeps nothing', async () => {
    const platform = {
      ...anyChannel,
      channel: async () => ({ id: '1', name: 'rendering', missing: ['Send Messages', 'Attach Files'] }),
    };
    const refusal = await talk.refuse(line, { admin: true, platform });
    expect(refusal.text).toContain('Send Messages, Attach Files');
    expect((await communitySettings(talk.db, 'ember-lane')).weekly).toBeUndefined();
  });

  it.each([
    ['a channel that is not there', line, { ...anyChannel, channel: async () => undefined }, 'cannot see'],
    [
      'a zone that does not exist',
      line.replace('America/Chicago', 'America/Atlantis'),
      anyChannel,
      'Europe/Berlin',
    ],
    ['an hour that does not exist', line.replace('18', '24'), anyChannel, '0 to 23'],
    ['a day that does not exist', line.replace('sunday', 'someday'), anyChannel, 'monday'],
  ])('refuses %s', async (_what, typed, platform, words) => {
    expect((await talk.refuse(typed, { admin: true, platform })).text).toContain(words);
  });

  it('can be stopped', async () => {
    await talk.ask(line, { admin: true });
    await talk.ask('/settings no-weekly', { admin: true });
    expect((await communitySettings(talk.db, 'ember-lane')).weekly).toBeUndefined();
  });

  it('describes its units as those of the post', () => {
    const found = talk.conversation.commands.find(({ name }) => name === 'settings');
    const subcommand =
      found && subcommandsOf(found).find(({ path }) => path.join(' ') === 'settings weekly')?.subcommand;
    expect(subcommand?.options.units?.description).toContain('Units for the post');
  });

  it('suggests zones while they are typed', async () => {
    const choices = await talk.conversation.suggest(
      ['settings', 'weekly'],
      'zone',
      'berl',
      {},
      {
        member: { id: 'a', name: 'a', mayManage: true },
        community: 'ember-lane',
        where: 'server',
        channel: undefined,
        interaction: 'i',
        now: new Date(),
        platform: anyChannel,
        application: 'terminal',
      },
    );
    expect(choices.map(({ value }) => value)).toEqual(['Europe/Berlin']);
  });
});
