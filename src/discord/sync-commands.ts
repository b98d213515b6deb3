import { setTimeout } from 'node:timers/promises';
import { isDeepStrictEqual } from 'node:util';
import { RateLimitError, Routes } from 'discord.js';
import type { Logger } from 'pino';
import { z } from 'zod';
import type { Command } from '../chat/command.js';
import { faultOf } from './faults.js';
import { registrationOf } from './registration.js';
import type { BotApi } from './token.js';

/** What of a command we set; Discord adds ids, versions and defaults of its own. */
const OURS: ReadonlySet<string> = new Set([
  'type',
  'name',
  'description',
  'options',
  'required',
  'choices',
  'value',
  'autocomplete',
  'min_value',
  'max_value',
  'min_length',
  'max_length',
  'channel_types',
  'contexts',
  'integration_types',
  'default_member_permissions',
]);

/** All at once, and only when what Discord has differs: the number of changes a day is limited. True when it was told. */
async function syncCommands(
  api: BotApi,
  applicationId: string,
  commands: readonly Command[],
): Promise<boolean> {
  const wanted = commands.map(registrationOf);
  const registered = z.array(z.unknown()).parse(await api.get(Routes.applicationCommands(applicationId)));
  if (sameCommands(registered, wanted)) return false;
  await api.put(Routes.applicationCommands(applicationId), { body: wanted });
  return true;
}

const FIRST_RETRY_MS = 5000;
const LONGEST_RETRY_MS = 10 * 60_000;
/** No timer can be set to longer. */
const LONGEST_TIMER_MS = 2 ** 31 - 1;

/** What `registerCommands` needs besides the commands. */
interface Registering {
  readonly api: BotApi;
  readonly applicationId: string;
  readonly log: Logger;
  /** Ends the trying. */
  readonly stopped: AbortSignal;
}

/**
 * Tells Discord about the commands, and tries again until it has taken them: those it knows from before work meanwhile, so
 * nothing else waits for this. How many changes Discord takes a day is limited, and then it says for how long.
 */
export async function registerCommands(
  { api, applicationId, log, stopped }: Registering,
  commands: readonly Command[],
): Promise<void> {
  for (let usualMs = FIRST_RETRY_MS; !stopped.aborted; usualMs = Math.min(2 * usualMs, LONGEST_RETRY_MS)) {
    try {
      const told = await syncCommands(api, applicationId, commands);
      return log.info({ registered: told }, 'Discord knows the commands');
    } catch (error) {
      const waitMs = error instanceof RateLimitError ? Math.max(usualMs, error.retryAfter) : usualMs;
      const {
        error: { name, message },
        ...codes
      } = faultOf(error);
      const why = message === '' ? name : message;
      log.warn({ why, ...codes, waitMs }, 'Discord did not take the commands; will try again');
      await setTimeout(Math.min(waitMs, LONGEST_TIMER_MS), undefined, { signal: stopped }).catch(() => {});
    }
  }
}

/** Whether two lists describe the same commands, whatever Discord added and in whatever order it lists them. */
export function sameCommands(registered: readonly unknown[], wanted: readonly unknown[]): boolean {
  const byName = (commands: readonly unknown[]) =>
    commands.map(essence).sort((a, b) => JSON.stringify(a).localeCompare(JSON.stringify(b)));
  return isDeepStrictEqual(byName(registered), byName(wanted));
}

/** A command with only our keys, in one order, without values that say the same as leaving them out. */
function essence(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(essence);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key, inner]) => OURS.has(key) && inner !== undefined && inner !== null && inner !== false)
      .filter(([, inner]) => !Array.isArray(inner) || inner.length > 0)
      .sort(([a], [b]) => a.localeCompare(b))
      .map(([key, inner]) => [key, essence(inner)]),
  );
}
