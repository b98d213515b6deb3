import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { appointmentsUntil, nextAppointment } from '../../src/weekly/appointments.js';

const sundayEvening = (zone: string) => ({ day: 7, hour: 18, zone });
const at = (iso: string) => new Date(iso);

describe('the weekly appointment', () => {
  it('comes at the local hour on both sides of a clock change', () => {
    // European Union, Directive 2000/84/EC: clocks go forward on the last Sunday of March, back on that of October.
    const spring = nextAppointment(sundayEvening('Europe/Berlin'), at('2026-03-23T00:00:00Z'));
    expect(spring.at.toISOString()).toBe('2026-03-29T16:00:00.000Z');
    const autumn = nextAppointment(sundayEvening('Europe/Berlin'), at('2026-10-20T00:00:00Z'));
    expect(autumn.at.toISOString()).toBe('2026-10-25T17:00:00.000Z');
  });

  it('moves an hour that does not exist to the next one and takes a repeated hour once', () => {
    const missing = nextAppointment({ day: 7, hour: 2, zone: 'Europe/Berlin' }, at('2026-03-28T12:00:00Z'));
    expect(missing.at.toISOString()).toBe('2026-03-29T01:00:00.000Z');
    const twice = { day: 7, hour: 2, zone: 'Europe/Berlin' };
    const first = nextAppointment(twice, at('2026-10-24T12:00:00Z'));
    const second = nextAppointment(twice, first.at);
    expect(second.at.getTime() - first.at.getTime()).toBeGreaterThan(6 * 86_400_000);
  });

  it('is after the given moment, never at it', () => {
    const first = nextAppointment(sundayEvening('UTC'), at('2026-11-22T17:59:59Z'));
    expect(first.at.toISOString()).toBe('2026-11-22T18:00:00.000Z');
    expect(nextAppointment(sundayEvening('UTC'), first.at).at.toISOString()).toBe('2026-11-29T18:00:00.000Z');
  });

  it.each([
    'America/New_York',
    'Australia/Lord_Howe',
    'Asia/Kolkata',
    'America/Sao_Paulo',
    'Africa/Casablanca',
  ])('comes 104 times in two years in %s, each at the local hour, each in a week of its own', (zone) => {
    const weekly = sundayEvening(zone);
    const start = DateTime.fromISO('2026-01-01T00:00', { zone }).toJSDate();
    const weeks = new Set<string>();
    let moment = start;
    for (let count = 0; count < 104; count++) {
      const next = nextAppointment(weekly, moment);
      const local = DateTime.fromJSDate(next.at, { zone });
      expect([local.weekday, local.hour, local.minute]).toEqual([7, 18, 0]);
      weeks.add(next.week);
      moment = next.at;
    }
    expect(weeks.size).toBe(104);
    expect(DateTime.fromJSDate(moment, { zone }).year).toBe(2027);
  });

  it('is still due a day late, and folded into the next when it is later than 36 hours', () => {
    const weekly = sundayEvening('UTC');
    const planned = at('2026-11-22T18:00:00Z');
    expect(appointmentsUntil(weekly, planned, at('2026-11-22T17:59:00Z')).past).toEqual([]);
    expect(appointmentsUntil(weekly, planned, at('2026-11-24T05:59:00Z')).past).toMatchObject([
      { week: '2026-W47', state: 'due' },
    ]);
    const late = appointmentsUntil(weekly, planned, at('2026-11-30T06:00:00Z'));
    expect(late.past).toMatchObject([
      { week: '2026-W47', state: 'folded' },
      { week: '2026-W48', state: 'due' },
    ]);
    expect(late.next.toISOString()).toBe('2026-12-06T18:00:00.000Z');
  });
});
