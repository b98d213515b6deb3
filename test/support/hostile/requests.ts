import { type Command, type Subcommand, subcommandsOf } from '../../../src/chat/command.js';
import type { Request } from '../../../src/chat/dispatch.js';
import { type Given, type Options, quoteIfNeeded } from '../../../src/chat/option.js';
import type { Random } from './random.js';
import { anything, NAMES_OF_OBJECTS, ODD_NUMBERS, twisted } from './texts.js';

/** Every subcommand and every action there is, to make requests of. */
export interface Repertoire {
  readonly subcommands: readonly { readonly path: readonly string[]; readonly subcommand: Subcommand }[];
  readonly actions: readonly { readonly name: string; readonly fields: Options }[];
}

export const repertoireOf = (commands: readonly Command[]): Repertoire => ({
  subcommands: commands.flatMap(subcommandsOf),
  actions: commands.flatMap(({ handlers }) =>
    Object.entries(handlers).map(([name, { fields }]) => ({ name, fields })),
  ),
});

/** A request as somebody could make it, or nearly so. `seen` are ids of buttons and forms that answers have shown. */
export function anyRequest(repertoire: Repertoire, seen: readonly string[], random: Random): Request {
  return random.chance(0.5) ? anyCommand(repertoire, random) : anyPress(repertoire, seen, random);
}

function anyCommand({ subcommands }: Repertoire, random: Random): Request {
  const { path, subcommand } = random.pick(subcommands);
  const options = Object.entries(subcommand.options).filter(
    ([, { required }]) => required || random.chance(0.3),
  );
  const given = Object.fromEntries(options.map(([name, option]) => [name, usualValue(option, random)]));
  return {
    kind: 'command',
    path: random.chance(0.05) ? path.map((word) => twisted(word, random)) : path,
    given: someTwisted(given, random),
  };
}

function usualValue({ entry, example }: Options[string], random: Random): string {
  switch (entry.kind) {
    case 'choice':
      return random.pick(entry.choices).value;
    case 'whole number':
      return String(entry.least + random.below(Math.min(12, entry.most - entry.least + 1)));
    case 'yes or no':
      return random.pick(['yes', 'no']);
    default:
      return example;
  }
}

function anyPress({ actions }: Repertoire, seen: readonly string[], random: Random): Request {
  const id = seen.length > 0 && random.chance(0.6) ? random.pick(seen) : madeUp(actions, random);
  const action = actions.find(({ name }) => id.split('|')[1] === name);
  const named = Object.entries(action?.fields ?? {}).filter(() => random.chance(0.7));
  const fields = Object.fromEntries(named.map(([name, option]) => [name, usualValue(option, random)]));
  return {
    kind: 'press',
    id: random.chance(0.5) ? id : twistedId(id, random),
    fields: random.chance(0.5) ? {} : someTwisted(fields, random),
  };
}

function madeUp(actions: Repertoire['actions'], random: Random): string {
  const { name } = random.pick(actions);
  const args = Array.from({ length: random.below(4) }, () =>
    random.pick([
      ...ODD_NUMBERS,
      '1',
      '2',
      '#1',
      '@zzzzzzzzzzzzz',
      '~1,2,3',
      '!0.1,0.2,0.3,1,2,3,4',
      'fat=5+lb',
    ]),
  );
  return ['v1', name, ...args].join('|');
}

function twistedId(id: string, random: Random): string {
  const parts = id.split('|');
  const at = random.below(parts.length + 1);
  const arg = random.pick([...NAMES_OF_OBJECTS, ...ODD_NUMBERS]);
  switch (random.below(4)) {
    case 0:
      return twisted(id, random);
    case 1:
      return [...parts.slice(0, at), arg, ...parts.slice(at + 1)].join('|');
    case 2:
      return [...parts.slice(0, at), arg, ...parts.slice(at)].join('|');
    default:
      return parts.map((part, place) => (place === at ? twisted(part, random) : part)).join('|');
  }
}

function someTwisted(given: Given, random: Random): Given {
  const share = random.pick([0, 0, 0.2, 1]);
  const entries = Object.entries(given).map(([name, text]) => [
    random.chance(share / 8) ? twisted(name, random) : name,
    random.chance(share) ? twisted(text, random) : text,
  ]);
  const extra = random.chance(share / 4) ? [[random.pick(NAMES_OF_OBJECTS), anything(random)]] : [];
  return Object.fromEntries([...entries, ...extra]);
}

/** The request as it could be typed, with or without quotation marks. */
export function lineOf(request: Request, random: Random): string {
  const given = request.kind === 'command' ? request.given : request.fields;
  const words = Object.entries(given).map(
    ([name, text]) => `${name}:${random.chance(0.8) ? quoteIfNeeded(text) : text}`,
  );
  const start = request.kind === 'command' ? `/${request.path.join(' ')}` : `press:${request.id}`;
  const line = [start, ...words].join(' ');
  return random.chance(0.2) ? twisted(line, random) : line;
}
