import type { Call } from '../src/chat/call.js';
import { type Command, command, isSingle, subcommand, subcommandsOf } from '../src/chat/command.js';
import { type Choice, quoteIfNeeded } from '../src/chat/option.js';
import { words } from '../src/chat/options.js';
import { refusal, reply } from '../src/chat/reply.js';

/** `/help`: what there is to ask, made from the commands themselves. */
export function help(others: () => readonly Command[]): Command {
  return command({
    name: 'help',
    description: 'What this bot can do, and how to ask it',
    subcommands: subcommand({
      description: 'What this bot can do, and how to ask it',
      audience: 'only you',
      options: {
        about: words({
          description: 'A command to read about',
          required: false,
          maxLength: 40,
          example: 'water',
          suggests: true,
        }),
      },
      run({ about }, call) {
        const commands = others();
        if (about === undefined) return overview(commands, call);
        const [name = '', second = ''] = wordsOf(about);
        const found = commands.find((one) => one.name === name);
        if (!found) {
          return refusal('No such command', `There is ${namesOf(commands)}.`);
        }
        return explain(found, second);
      },
      suggest: async (_option, typed) => topicsFor(typed, others()),
    }),
  });
}

/** The words of a command as somebody writes them: "/Batch log" is "batch" and "log". */
const wordsOf = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .split(/[\s/]+/)
    .filter(Boolean);

const namesOf = (commands: readonly Command[]): string => commands.map(({ name }) => `/${name}`).join(', ');

/** The commands, and their subcommands once something is typed; those that begin with it come first. */
function topicsFor(typed: string, commands: readonly Command[]): readonly Choice[] {
  const wanted = wordsOf(typed);
  const topics = commands.flatMap((one) => [
    { path: one.name, description: one.description },
    ...(wanted.length === 0 ? [] : subcommandTopics(one)),
  ]);
  const found = topics.filter(({ path }) => wanted.every((word) => path.includes(word)));
  const begins = ({ path }: { readonly path: string }) => path.startsWith(wanted.join(' '));
  return [...found.filter(begins), ...found.filter((topic) => !begins(topic))].map(
    ({ path, description }) => ({ value: path, label: `/${path}: ${description}`.slice(0, 100) }),
  );
}

const subcommandTopics = (of: Command) =>
  isSingle(of.subcommands)
    ? []
    : subcommandsOf(of).map(({ path, subcommand: { description } }) => ({
        path: path.join(' '),
        description,
      }));

/** In a direct message only what works there is explained; the rest is named, for a server. */
function overview(commands: readonly Command[], { where }: Call) {
  const elsewhere = where === 'direct' ? commands.filter((one) => one.where === 'server') : [];
  return reply({
    title: 'What you can ask',
    audience: 'only you',
    lines: [
      ...commands
        .filter((one) => !elsewhere.includes(one))
        .map(({ name, description }) => `/${name}: ${description}.`),
      ...(elsewhere.length === 0 ? [] : [`On a server only: ${namesOf(elsewhere)}.`]),
      'Amounts take any usual unit: 4 lb 8 oz, 4½ pounds, 2,3 kg. /help about:water explains one command.',
      'Hot fat burns and steam scalds: /safety before your first batch.',
    ],
  });
}

/** One subcommand of a command where its second word names one, else all of them. */
function explain(found: Command, second: string) {
  const all = subcommandsOf(found);
  const named = all.filter(({ path }) => path[1] === second);
  const lines = (named.length > 0 ? named : all).flatMap(({ path, subcommand: one }) => {
    const options = Object.entries(one.options);
    const required = options.filter(([, option]) => option.required);
    const example = [
      `/${path.join(' ')}`,
      ...(required.length > 0 ? required : options.slice(0, 1)).map(
        ([name, option]) => `${name}:${quoteIfNeeded(option.example)}`,
      ),
    ].join(' ');
    return [
      `${example}: ${one.description}.`,
      ...options.map(
        ([name, option]) => `· ${name}${option.required ? '' : ' (may be left out)'}: ${option.description}`,
      ),
    ];
  });
  const limits = [
    found.who === 'managers' ? 'For those who may manage the community.' : undefined,
    found.where === 'server' ? 'On a server, not in direct messages.' : undefined,
  ].filter((limit) => limit !== undefined);
  const title = `/${(named[0]?.path ?? [found.name]).join(' ')}`;
  return reply({ title, audience: 'only you', lines: [...lines, ...limits] });
}
