import { type Command, command, deed, deedsOf } from '../src/chat/command.js';
import { quoteIfNeeded } from '../src/chat/option.js';
import { words } from '../src/chat/options.js';
import { refusal, reply } from '../src/chat/reply.js';

/** `/help`: what there is to ask, made from the commands themselves. */
export function help(others: () => readonly Command[]): Command {
  return command({
    name: 'help',
    description: 'What this bot can do, and how to ask it',
    deeds: deed({
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
      run({ about }) {
        const commands = others();
        if (about === undefined) return overview(commands);
        const name = about.replace(/^\//, '').split(' ')[0]?.toLowerCase() ?? '';
        const found = commands.find((one) => one.name === name);
        if (!found) {
          return refusal('No such command', `There is ${commands.map((one) => `/${one.name}`).join(', ')}.`);
        }
        return explain(found);
      },
      async suggest(_option, typed) {
        return others()
          .filter(({ name }) => name.startsWith(typed.replace(/^\//, '').toLowerCase()))
          .map(({ name, description }) => ({ value: name, label: `/${name}: ${description}`.slice(0, 100) }));
      },
    }),
  });
}

function overview(commands: readonly Command[]) {
  return reply({
    title: 'What you can ask',
    audience: 'only you',
    lines: [
      ...commands.map(({ name, description }) => `/${name}: ${description}.`),
      'Amounts take any usual unit: 4 lb 8 oz, 4½ pounds, 2,3 kg. /help about:water explains one command.',
      'Hot fat burns and steam scalds: /safety before your first batch.',
    ],
  });
}

function explain(found: Command) {
  const lines = deedsOf(found).flatMap(({ path, deed: one }) => {
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
  return reply({ title: `/${found.name}`, audience: 'only you', lines: [...lines, ...limits] });
}
