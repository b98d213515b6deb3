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
  ])('“%s” is read in the community’s own zone', (text, iso) => {
    expect(day(text)).toBe(iso);
  });

  it.each([
    ['2026-11-26', 'still to come'],
    ['tomorrow', 'still to come'],
    ['soon', 'not a day'],
    ['2026-13-40', 'not a day'],
    ['1066-10-14', 'too long ago'],
  ])('“%s” is refused', (text, words) => {
    expect(day(text)).toContain(words);
  });
});

describe('the moment something must be ready', () => {
  it.each([
    ['Saturday 6pm', '2026-11-29T00:00:00.000Z'],
    ['tomorrow at 18:30', '2026-11-27T00:30:00.000Z'],
    ['2026-12-24 17:00', '2026-12-24T23:00:00.000Z'],
    // Daylight saving has begun by then in Chicago (second Sunday of March).
    ['2027-03-20 18:00', '2027-03-20T23:00:00.000Z'],
  ])('“%s” is the next such moment, at local time', (text, iso) => {
    expect(moment(text)).toBe(iso);
  });

  it.each([
    ['2020-01-01 12:00', 'already past'],
    ['whenever it suits you', 'not a time'],
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

  it('is known by the name of today where the runtime lists an older one', () => {
    expect(readZone('Asia/Kolkata')).toEqual({ ok: true, value: 'Asia/Kolkata' });
    expect(readZone('europe/kyiv')).toEqual({ ok: true, value: 'Europe/Kyiv' });
    expect(suggestZones('', 1000).length).toBeGreaterThan(100);
    for (const name of suggestZones('', 1000))
      expect(() => new Intl.DateTimeFormat('en', { timeZone: name })).not.toThrow();
  });
});
