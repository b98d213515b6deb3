import { isDeepStrictEqual } from 'node:util';
import { type REST, Routes } from 'discord.js';
import { z } from 'zod';
import type { Command } from '../chat/command.js';
import { registrationOf } from './registration.js';

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

/**
 * Tells Discord about the commands, all at once, and only when what it has differs: the number of changes a day is
 * limited. True when it was told.
 */
export async function syncCommands(
  rest: REST,
  applicationId: string,
  commands: readonly Command[],
): Promise<boolean> {
  const wanted = commands.map(registrationOf);
  const registered = z.array(z.unknown()).parse(await rest.get(Routes.applicationCommands(applicationId)));
  if (sameCommands(registered, wanted)) return false;
  await rest.put(Routes.applicationCommands(applicationId), { body: wanted });
  return true;
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
