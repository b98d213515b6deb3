import { readFile } from 'node:fs/promises';

/** Ticks of /proc/PID/stat a second, which Linux fixes at 100 (man 5 proc, sysconf(_SC_CLK_TCK)). */
const TICKS = 100;

export interface ProcessUsage {
  readonly peakMb: number;
  readonly residentMb: number;
  readonly processorMs: number;
}

/** Of a process: the most memory it ever held, what it holds now, and the processor time it took. Linux only. */
export async function usageOf(pid: number | undefined): Promise<ProcessUsage> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8');
  const fields = (await readFile(`/proc/${pid}/stat`, 'utf8')).replace(/^.*\) /s, '').split(' ');
  return {
    peakMb: Number(/VmHWM:\s+(\d+)/.exec(status)?.[1]) / 1024,
    residentMb: Number(/VmRSS:\s+(\d+)/.exec(status)?.[1]) / 1024,
    processorMs: ((Number(fields[11]) + Number(fields[12])) * 1000) / TICKS,
  };
}
