import { command } from '../src/chat/command.js';
import { tell, urgent } from './now/told.js';

const DESCRIPTION = 'Somebody is burnt: what to do first';

/** `/burn`: what to do first. It needs no records and refuses nothing. */
export function burn() {
  return command({
    name: 'burn',
    description: DESCRIPTION,
    subcommands: urgent(DESCRIPTION, {}, () => tell('burn')),
  });
}
