import { healthOf, inTime, type Vitals } from './health.js';
import { type Metrics, openMetrics, type PoolCounts } from './metrics.js';
import { type Monitoring, startMonitoring } from './server.js';

export interface MonitorOptions {
  readonly host: string;
  readonly port: number;
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
