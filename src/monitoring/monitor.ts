import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { type Health, healthOf, inTime, type Vitals } from './health.js';
import { type Metrics, openMetrics, type PoolCounts } from './metrics.js';

interface Place {
  readonly host: string;
  /** 0: any that is free. */
  readonly port: number;
}

interface MonitorOptions extends Place {
  readonly clock: () => Date;
  readonly pool: () => PoolCounts;
}

export interface Monitor {
  /** To be told what happens, from the beginning. */
  readonly metrics: Metrics;
  /** Answers those who ask how the bot is, once it talks. Rejects where the port cannot be had. */
  start(vitals: Vitals): Promise<Monitoring>;
}

/** Lets others see how the bot is. */
export function openMonitor({ host, port, clock, pool }: MonitorOptions): Monitor {
  const metrics = openMetrics(pool, clock);
  return {
    metrics,
    start: (vitals) =>
      startMonitoring({
        host,
        port,
        health: () => healthOf(vitals, clock()),
        metrics: async () => metrics.text(await inTime(vitals.deliveriesDue())),
        contentType: metrics.contentType,
      }),
  };
}

interface Told {
  readonly health: () => Promise<Health>;
  readonly metrics: () => Promise<string>;
  /** Of the metrics. */
  readonly contentType: string;
}

export interface Monitoring {
  readonly port: number;
  stop(): Promise<void>;
}

/** Answers `GET /healthz` with 200 or 503, and `GET /metrics`. Rejects where the port cannot be had. */
export async function startMonitoring({ host, port, ...told }: Place & Told): Promise<Monitoring> {
  const server = createServer((request, response) => {
    answer(request, response, told).catch(() => response.destroy());
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, resolve);
  });
  const address = server.address();
  return {
    port: typeof address === 'object' && address !== null ? address.port : port,
    async stop() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

async function answer(
  { method, url = '/' }: IncomingMessage,
  response: ServerResponse,
  { health, metrics, contentType }: Told,
): Promise<void> {
  const [path] = url.split('?');
  if (method !== 'GET' && method !== 'HEAD') return say(response, 405, 'text/plain', 'Only GET.\n');
  if (path === '/healthz') {
    const found = await health();
    const body = `${JSON.stringify(found)}\n`;
    return say(response, found.status === 'ok' ? 200 : 503, 'application/json', body);
  }
  if (path === '/metrics') return say(response, 200, contentType, await metrics());
  return say(response, 404, 'text/plain', 'There are /healthz and /metrics.\n');
}

function say(response: ServerResponse, status: number, type: string, body: string): void {
  response.writeHead(status, { 'content-type': type, 'cache-control': 'no-store' }).end(body);
}
