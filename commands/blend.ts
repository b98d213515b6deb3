import { command } from '../src/chat/command.js';
import type { Records } from '../src/records/database.js';
import { butterBlend } from './blend/butter.js';
import { saltedBlend } from './blend/salted.js';

/** `/blend`: tallow with butter, or with salt and water. */
export function blend(db: Records) {
  const [butter, salted] = [butterBlend(db), saltedBlend(db)];
  return command({
    name: 'blend',
    description: 'Tallow with butter, or with salt and water: what goes in and what it makes',
    subcommands: { butter: butter.subcommand, salted: salted.subcommand },
    handlers: { ...butter.handlers, ...salted.handlers },
  });
}
