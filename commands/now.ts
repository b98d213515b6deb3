import { command } from '../src/chat/command.js';
import { choice } from '../src/chat/options.js';
import { EMERGENCY_CHOICES, emergencyIn, emergencyNamed } from '../src/safety/emergencies.js';
import { askWhat, HANDLERS, tell, urgent } from './now/told.js';

const DESCRIPTION = 'Something goes wrong: the first thing to do';

const WHAT = choice({ description: 'What is happening', required: false, choices: EMERGENCY_CHOICES });

/** `/now`: something goes wrong at the stove. It needs no records and refuses nothing. */
export function now() {
  return command({
    name: 'now',
    description: DESCRIPTION,
    subcommands: urgent(DESCRIPTION, { what: WHAT }, (said) => {
      const emergency = emergencyIn(said) ?? emergencyNamed(said);
      return emergency === undefined ? askWhat() : tell(emergency);
    }),
    handlers: HANDLERS,
    hears: (said) => emergencyIn(said) !== undefined,
  });
}
