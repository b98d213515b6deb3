import { afterEach, describe, expect, it } from 'vitest';
import type { Health } from '../../src/monitoring/health.js';
import { type Metrics, openMetrics } from '../../src/monitoring/metrics.js';
import { type Monitoring, startMonitoring } from '../../src/monitoring/monitor.js';

const WELL: Health = {
  status: 'ok',
  failing: [],
  gatewayReady: true,
  tokenAccepted: true,
  databaseAnswers: true,
  lastTick: '2026-11-25T18:00:00.000Z',
  oldestDue: null,
};
const NOW = new Date('2026-11-25T18:00:00Z');
const DUE = { due: 4, late: 1, oldestDueAt: new Date(NOW.getTime() - 90_000) };
const open = () =>
  openMetrics(
    () => ({ inUse: 3, idle: 5, waiting: 2 }),
    () => NOW,
  );

let monitoring: Monitoring | undefined;
afterEach(() => monitoring?.stop());

async function start(
  parts: {
    readonly health?: Health;
    readonly metrics?: Metrics;
    readonly due?: () => typeof DUE | undefined;
  } = {},
) {
  const { health = WELL, metrics = open(), due = () => DUE } = parts;
  monitoring = await startMonitoring({
    host: '127.0.0.1',
    port: 0,
    health: async () => health,
    metrics: () => metrics.text(due()),
    contentType: metrics.contentType,
  });
  const { port } = monitoring;
  return (path: string, init?: RequestInit) => fetch(`http://127.0.0.1:${port}${path}`, init);
}

/** Lines of the text format that are samples: a name, labels in braces, a value (Prometheus, Exposition formats). */
const SAMPLE = /^[a-zA-Z_:][\w:]*(\{[a-zA-Z_]\w*="[^"]*"(,[a-zA-Z_]\w*="[^"]*")*\})? -?(\d|Nan|\+Inf)\S*$/;

describe('the monitoring', () => {
  it('answers /healthz with 200 while all is well, and 503 when it is not', async () => {
    const well = await (await start())('/healthz');
    expect(well.status).toBe(200);
    expect(await well.json()).toEqual(WELL);
    await monitoring?.stop();
    const ill: Health = { ...WELL, status: 'failing', failing: ['token'], tokenAccepted: false };
    const response = await (await start({ health: ill }))('/healthz');
    expect(response.status).toBe(503);
    expect(await response.json()).toEqual(ill);
  });

  it('answers /metrics as Prometheus reads it', async () => {
    const metrics = open();
    metrics.answered({ asked: '/water', outcome: 'reply', ms: 7 });
    metrics.answered({ asked: '/water', outcome: 'reply', ms: 2000 });
    metrics.answered({ asked: '/plan', outcome: 'refusal', ms: 20 });
    metrics.limited('member');
    metrics.delivered('sent');
    metrics.delivered('closed');
    const response = await (await start({ metrics }))('/metrics');
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toContain('text/plain; version=0.0.4');
    const lines = (await response.text()).split('\n').filter((line) => line !== '' && !line.startsWith('#'));
    for (const line of lines) expect(line).toMatch(SAMPLE);
    expect(lines).toEqual(
      expect.arrayContaining([
        'tallow_answer_seconds_bucket{le="0.005",asked="/water",outcome="reply"} 0',
        'tallow_answer_seconds_bucket{le="0.01",asked="/water",outcome="reply"} 1',
        'tallow_answer_seconds_bucket{le="+Inf",asked="/water",outcome="reply"} 2',
        'tallow_answer_seconds_count{asked="/plan",outcome="refusal"} 1',
        'tallow_limited_total{by="member"} 1',
        'tallow_deliveries_total{how="sent"} 1',
        'tallow_deliveries_total{how="closed"} 1',
        'tallow_deliveries_due{which="all"} 4',
        'tallow_deliveries_due{which="late"} 1',
        'tallow_oldest_due_seconds 90',
        'tallow_pool_connections{state="in use"} 3',
        'tallow_pool_connections{state="waiting"} 2',
      ]),
    );
    const names = lines.map((line) => line.split(/[ {]/)[0]);
    expect(names).toEqual(
      expect.arrayContaining(['nodejs_eventloop_lag_p99_seconds', 'process_resident_memory_bytes']),
    );
  });

  it('leaves out what is due where it cannot be told, rather than tell what was', async () => {
    let due: typeof DUE | undefined = DUE;
    const get = await start({ due: () => due });
    expect(await (await get('/metrics')).text()).toContain('tallow_deliveries_due{which="all"} 4');
    due = undefined;
    const response = await get('/metrics');
    expect(response.status).toBe(200);
    expect(await response.text()).not.toMatch(/^tallow_(deliveries|oldest)_due/m);
  });

  it('has nothing else, and takes nothing', async () => {
    const get = await start();
    expect((await get('/')).status).toBe(404);
    expect((await get('/healthz/more')).status).toBe(404);
    expect((await get('/healthz', { method: 'POST', body: 'x' })).status).toBe(405);
    expect((await get('/healthz?verbose=1')).status).toBe(200);
  });

  it('says so when its port is taken', async () => {
    await start();
    const { text, contentType } = open();
    const port = monitoring?.port ?? 0;
    const second = startMonitoring({
      host: '127.0.0.1',
      port,
      health: async () => WELL,
      metrics: () => text(undefined),
      contentType,
    });
    await expect(second).rejects.toMatchObject({ code: 'EADDRINUSE' });
  });
});
