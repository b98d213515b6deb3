import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readMomentAhead, readPastDay, readZone, suggestZones } from '../../src/chat/when.js';

// A Wednesday, 18:00 in Chicago (UTC-6 in November).
const now = new Date('2026-11-26T00:00:00Z');
const chicago = 'America/Chicago';

const day = (text: string) => {
  const read = readPastDay(text, now, chicago);
  return read.ok ? read.value.toISOString() : read.problem;
};
const moment = (text: string) => {
  const read = readMomentAhead(text, now, chicago);
  return read.ok ? read.value.toISOString() : read.problem;
};

describe('the day a batch was cooked', () => {
  it.each([
    ['today', now.toISOString()],
    ['2026-11-25', now.toISOString()],
    ['yesterday', '2026-11-24T18:00:00.000Z'],
    ['2026-11-20', '2026-11-20T18:00:00.000Z'],
    ['last Saturday', '2026-11-21T18:00:00.000Z'],
    ['Saturday', '2026-11-21T18:00:00.000Z'],
    ['2026-07-01', '2026-07-01T17:00:00.000Z'],
    ['3 days ago', '2026-11-22T18:00:00.000Z'],
    ['3 April', '2026-04-03T17:00:00.000Z'],
    ['24/11/2026', '2026-11-24T18:00:00.000Z'],
    ['11/24/26', '2026-11-24T18:00:00.000Z'],
    ['24.11.2026', '2026-11-24T18:00:00.000Z'],
    // Dots: the day first.
    ['4.11.26', '2026-11-04T18:00:00.000Z'],
    ['on 24/11', '2026-11-24T18:00:00.000Z'],
    ['24/12', '2025-12-24T18:00:00.000Z'],
    ['05/05/2026', '2026-05-05T17:00:00.000Z'],
  ])('“%s” is read in the community’s own zone', (text, iso) => {
    expect(day(text)).toBe(iso);
  });

  it.each([
    ['2026-11-26', 'still to come'],
    ['tomorrow', 'still to come'],
    ['soon', 'not a day'],
    ['2026-13-40', 'not a day'],
    ['1066-10-14', 'too long ago'],
    ['24/12/2026', '2026-12-24 is still to come'],
    ['31/02/2026', 'not a day'],
  ])('“%s” is refused', (text, words) => {
    expect(day(text)).toContain(words);
  });

  it.each([
    ['04/11/2026', '2026-11-04 or 2026-04-11'],
    ['4-11-2026', '2026-11-04 or 2026-04-11'],
    ['04/11', '2026-11-04 or 2026-04-11'],
    ['on 04/11/2026', 'on 2026-11-04 or on 2026-04-11'],
  ])('“%s” could be two days and is asked about', (text, both) => {
    expect(day(text)).toBe(`“${text}” can be read two ways. Write ${both}.`);
  });

  it('is the one that has been where the other is still to come', () => {
    expect(day('12/11/2026')).toBe('2026-11-12T18:00:00.000Z');
  });

  it('is refused in the words of whoever asked when it is still to come', () => {
    expect(day('tomorrow')).toBe('2026-11-26 is still to come. For example: today, yesterday, 2026-03-01.');
    expect(readPastDay('tomorrow', now, chicago, 'wait for it')).toMatchObject({
      problem: expect.stringMatching(/^2026-11-26 is still to come; wait for it\. /),
    });
  });
});

describe('the moment something must be ready', () => {
  it.each([
    ['Saturday 6pm', '2026-11-29T00:00:00.000Z'],
    ['tomorrow at 18:30', '2026-11-27T00:30:00.000Z'],
    ['2026-12-24 17:00', '2026-12-24T23:00:00.000Z'],
    // Daylight saving has begun by then in Chicago (second Sunday of March).
    ['2027-03-20 18:00', '2027-03-20T23:00:00.000Z'],
    ['24/12/2026 17:00', '2026-12-24T23:00:00.000Z'],
    ['24/12 5pm', '2026-12-24T23:00:00.000Z'],
    // The 12th of November is past.
    ['12/11/2026', '2026-12-11T18:00:00.000Z'],
  ])('“%s” is the next such moment, at local time', (text, iso) => {
    expect(moment(text)).toBe(iso);
  });

  it.each([
    ['2020-01-01 12:00', 'already past'],
    ['whenever it suits you', 'not a time'],
    ['01/02/2027 6pm', 'Write 2027-02-01 6pm or 2027-01-02 6pm.'],
    ['01/02', 'Write 2027-02-01 or 2027-01-02.'],
  ])('“%s” is refused', (text, words) => {
    expect(moment(text)).toContain(words);
  });

  it('never throws, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (text) => {
        expect(typeof readMomentAhead(text, now, chicago).ok).toBe('boolean');
        expect(typeof readPastDay(text, now, chicago).ok).toBe('boolean');
        expect(typeof readZone(text).ok).toBe('boolean');
      }),
      { numRuns: 500 },
    );
  });
});

describe('a time zone', () => {
  it('is found whatever its case and refused when there is none', () => {
    expect(readZone('america/chicago')).toEqual({ ok: true, value: 'America/Chicago' });
    expect(readZone('Europe/Berlin')).toEqual({ ok: true, value: 'Europe/Berlin' });
    expect(readZone('utc')).toEqual({ ok: true, value: 'UTC' });
    expect(readZone('Mars/Olympus')).toMatchObject({ ok: false });
  });

  it.each([
    ['London', 'Europe/London'],
    ['berlin', 'Europe/Berlin'],
    ['New York', 'America/New_York'],
    ['new_york', 'America/New_York'],
    ['São Paulo', 'America/Sao_Paulo'],
    ['port-au-prince', 'America/Port-au-Prince'],
    ['Kolkata', 'Asia/Kolkata'],
    ['indiana/knox', 'America/Indiana/Knox'],
  ])('is found by its city alone: %s', (text, zone) => {
    expect(readZone(text)).toEqual({ ok: true, value: zone });
  });

  it('is asked about where two zones have a city of that name, but not where they are one zone', () => {
    const zones = ['Canada/Eastern', 'US/Eastern', 'America/Buenos_Aires', 'America/Argentina/Buenos_Aires'];
    expect(readZone('eastern', zones)).toEqual({
      ok: false,
      problem: '“eastern” could be Canada/Eastern or US/Eastern. Write one of them in full.',
    });
    expect(readZone('Buenos Aires', zones)).toMatchObject({ ok: true });
  });

  it('asks for a larger city where the one named has no zone of its own', () => {
    expect(readZone('Boston')).toMatchObject({ problem: expect.stringContaining('larger city') });
  });

  it('is known by the name of today where the runtime lists an older one', () => {
    expect(readZone('Asia/Kolkata')).toEqual({ ok: true, value: 'Asia/Kolkata' });
    expect(readZone('europe/kyiv')).toEqual({ ok: true, value: 'Europe/Kyiv' });
    expect(suggestZones('', 1000).length).toBeGreaterThan(100);
    for (const name of suggestZones('', 1000))
      expect(() => new Intl.DateTimeFormat('en', { timeZone: name })).not.toThrow();
  });

  it.each([
    ['EST', 'New York'],
    ['PST', 'Los Angeles'],
    ['central time', 'Chicago'],
    ['Mountain Standard Time', 'Denver'],
    ['US/Eastern', 'New York'],
    ['Texas', 'Chicago'],
    ['India', 'Kolkata'],
    ['GMT', 'London'],
    ['CEST', 'Berlin'],
  ])('is not taken from “%s”, which is refused with a city that is then taken', (text, city) => {
    expect(readZone(text)).toEqual({
      ok: false,
      problem: `“${text}” names no city. Use one with that time, for example ${city}.`,
    });
    expect(readZone(city)).toMatchObject({ ok: true });
    expect(suggestZones(text, 25).slice(0, 1)).toEqual([readZone(city)].map((read) => read.ok && read.value));
  });

  it('is suggested from every continent while nothing is typed, UTC first', () => {
    const names = suggestZones('', 25);
    expect(names[0]).toBe('UTC');
    expect(names).toHaveLength(25);
    for (const part of ['Africa', 'America', 'Asia', 'Australia', 'Europe', 'Pacific'])
      expect(names.filter((name) => name.startsWith(`${part}/`)).length).toBeGreaterThan(0);
    for (const name of names) expect(readZone(name)).toEqual({ ok: true, value: name });
  });

  it.each([
    ['utc', 'UTC'],
    ['lon', 'Europe/London'],
    ['york', 'America/New_York'],
    ['calcutta', 'Asia/Kolkata'],
    ['kiev', 'Europe/Kyiv'],
  ])('is suggested by its city: %s', (typed, name) => {
    expect(suggestZones(typed, 25)[0]).toBe(name);
  });

  it('is spelt in one way, the one of today', () => {
    const all = suggestZones('', 1000);
    expect(all.filter((name) => /\/(?:Kyiv|Kiev)$/.test(name))).toEqual(['Europe/Kyiv']);
    expect(new Set(all).size).toBe(all.length);
    const zones = all.map(
      (timeZone) => new Intl.DateTimeFormat('en', { timeZone }).resolvedOptions().timeZone,
    );
    expect(new Set(zones).size).toBe(all.length);
    expect(readZone('Europe/Kiev')).toEqual({ ok: true, value: 'Europe/Kyiv' });
    expect(readZone('Saigon')).toEqual({ ok: true, value: 'Asia/Ho_Chi_Minh' });
  });
});
