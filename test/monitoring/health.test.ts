import { describe, expect, it } from 'vitest';
import { healthOf, type Vitals } from '../../src/monitoring/health.js';

const NOW = new Date('2026-11-25T18:00:00Z');
const minutesAgo = (minutes: number) => new Date(NOW.getTime() - minutes * 60_000);

const WELL: Vitals = {
  isReady: () => true,
  isTokenAccepted: () => true,
  lastTick: () => minutesAgo(1),
  deliveriesDue: async () => ({ due: 1, late: 0, oldestDueAt: minutesAgo(3) }),
};
const health = (changes: Partial<Vitals>) => healthOf({ ...WELL, ...changes }, NOW);

describe('the health of the bot', () => {
  it('is well when it is connected, has its token, its database and its scheduler', async () => {
    expect(await health({})).toEqual({
      status: 'ok',
      failing: [],
      gatewayReady: true,
      tokenAccepted: true,
      databaseAnswers: true,
      lastTick: '2026-11-25T17:59:00.000Z',
      oldestDue: '2026-11-25T17:57:00.000Z',
    });
  });

  it('is well in the terminal, where there is no gateway and no token', async () => {
    const { isReady: _ready, isTokenAccepted: _token, ...terminal } = WELL;
    expect(await healthOf(terminal, NOW)).toMatchObject({
      status: 'ok',
      gatewayReady: null,
      tokenAccepted: null,
    });
  });

  it.each<[string, Partial<Vitals>]>([
    ['gateway', { isReady: () => false }],
    ['token', { isTokenAccepted: () => false }],
    ['database', { deliveriesDue: () => Promise.reject(new Error('the line is down')) }],
    ['scheduler', { lastTick: () => minutesAgo(6) }],
  ])('fails by its %s alone', async (what, changes) => {
    expect(await health(changes)).toMatchObject({ status: 'failing', failing: [what] });
  });

  it('does not wait long for a database that hangs', async () => {
    const start = performance.now();
    const found = await health({ deliveriesDue: () => new Promise(() => {}) });
    expect(found).toMatchObject({ failing: ['database'], databaseAnswers: false, oldestDue: null });
    expect(performance.now() - start).toBeLessThan(4000);
  });

  it('is well with messages that have been due for long: another try may be what they wait for', async () => {
    const deliveriesDue = async () => ({ due: 3, late: 3, oldestDueAt: minutesAgo(600) });
    expect((await health({ deliveriesDue })).status).toBe('ok');
  });
});
