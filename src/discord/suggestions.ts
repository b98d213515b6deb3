import type { ApplicationCommandOptionChoiceData } from 'discord.js';
import type { Origin } from '../chat/call.js';
import { oneLine } from '../chat/clean.js';
import { subcommandsOf } from '../chat/command.js';
import type { Conversation } from '../chat/dispatch.js';
import type { Choice, Entry } from '../chat/option.js';
import { pause } from './attempts.js';
import { cutText, LIMITS } from './limits.js';
import type { TypedCommand } from './requests.js';

/** Discord waits 3 s for suggestions; none in time is better than an error. */
const WAIT_MS = 2000;

/** The option being typed, and what has been typed of it. */
export interface Focused {
  readonly name: string;
  readonly value: string;
}

/** What to suggest while a person types an option, in Discord's form; nothing when it takes too long. */
export async function suggestionsFor(
  conversation: Conversation,
  { path, given }: TypedCommand,
  { name, value }: Focused,
  origin: Origin,
): Promise<readonly ApplicationCommandOptionChoiceData[]> {
  const entry = entryOf(conversation, path, name);
  const choices =
    entry?.kind === 'choice'
      ? matching(entry.choices, value)
      : ((await Promise.race([conversation.suggest(path, name, value, given, origin), pause(WAIT_MS)])) ??
        []);
  return choices
    .map((choice) => ({
      name: cutText(oneLine(choice.label), LIMITS.choiceName),
      value: entry?.kind === 'whole number' ? Number(choice.value) : choice.value,
    }))
    .filter((choice) => isTaken(choice.value))
    .slice(0, LIMITS.choices);
}

/** Choices that are too many for a list; Discord asks for them while one types. */
function matching(choices: readonly Choice[], typed: string): readonly Choice[] {
  const wanted = typed.trim().toLowerCase();
  return choices.filter(({ value, label }) => `${label}\n${value}`.toLowerCase().includes(wanted));
}

/** A value cut short would be another one, so one that does not fit is left out. */
function isTaken(value: string | number): boolean {
  return typeof value === 'number'
    ? Number.isSafeInteger(value)
    : value !== '' && value.length <= LIMITS.choiceValue;
}

function entryOf(conversation: Conversation, path: readonly string[], option: string): Entry | undefined {
  const wanted = path.join(' ');
  const found = conversation.commands.flatMap(subcommandsOf).find((one) => one.path.join(' ') === wanted);
  return found?.subcommand.options[option]?.entry;
}
