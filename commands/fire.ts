import { command } from '../src/chat/command.js';
import { tell, urgent } from './now/told.js';

const DESCRIPTION = 'Fat on fire: what to do first';

/** `/fire`: what to do first. It needs no records and refuses nothing. */
export function fire() {
  return command({
    name: 'fire',
    description: DESCRIPTION,
    subcommands: urgent(DESCRIPTION, {}, () => tell('fire')),
  });
}
