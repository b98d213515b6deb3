import { command, subcommand } from '../src/chat/command.js';
import { choice } from '../src/chat/options.js';
import { reply } from '../src/chat/reply.js';
import { TROUBLE_CHOICES, TROUBLES, type Trouble } from '../src/cooking/troubles.js';
import { sourceLines } from '../src/safety/sources.js';

const DESCRIPTION = 'Something is wrong with the tallow: what it is and what to do';

/** `/trouble`: what is wrong with tallow, and what to do about it. */
export function trouble() {
  return command({
    name: 'trouble',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: { about: choice({ description: 'What is wrong', required: true, choices: TROUBLE_CHOICES }) },
      run({ about }) {
        const { answer, lines, sources }: Trouble = TROUBLES[about];
        return reply({ title: answer, lines, sources: sourceLines(sources) });
      },
    }),
  });
}
