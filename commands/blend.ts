import { command } from '../src/chat/command.js';
import { calculation } from '../src/kitchen/asked.js';
import type { Records } from '../src/records/database.js';
import { BUTTER_BLEND } from './blend/butter.js';
import { SALTED_BLEND } from './blend/salted.js';

/** `/blend`: tallow with butter, or with salt and water. */
export function blend(db: Records) {
  const butter = calculation(db, 'blend-butter', BUTTER_BLEND);
  const salted = calculation(db, 'blend-salted', SALTED_BLEND);
  return command({
    name: 'blend',
    description: 'Tallow with butter, or with salt and water: what goes in and what it makes',
    subcommands: { butter: butter.subcommand, salted: salted.subcommand },
    handlers: { ...butter.handlers, ...salted.handlers },
  });
}
