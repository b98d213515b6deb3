import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { uniform } from '../statistics/seeded.js';
import { openTalk, type Talk } from '../support/talk.js';
import { faultyWeek } from '../support/weekly-faults.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

// The long run of the same: npm run bench -- weekly-faults 200
describe('a week of two processes that race, of broken connections and of kill -9', () => {
  it.each([1, 2, 3])('has one message in every community (run %i)', { timeout: 400_000 }, async (run) => {
    const week = await faultyWeek(talk.db, talk.connectionString, uniform(run));
    expect(week.violations).toEqual([]);
    expect(new Set(week.messages)).toEqual(new Set([1]));
    expect(week.faultsMet).toBeGreaterThan(0);
  });
});
