import { command } from '../src/chat/command.js';
import { compareHandlers, compareSubcommand } from '../src/findings/compare.js';
import { mineSubcommand } from '../src/findings/mine.js';
import { nextSubcommand } from '../src/findings/next.js';
import { oddSubcommand } from '../src/findings/odd.js';
import { pooledSubcommand } from '../src/findings/pooled.js';
import { forecastSubcommand } from '../src/findings/yield-forecast.js';
import type { Pictures } from '../src/pictures/pictures.js';
import type { Records } from '../src/records/database.js';

/** `/yield`: what the community's batches say. */
export function yieldCommand(db: Records, pictures: Pictures) {
  return command({
    name: 'yield',
    description: 'What the community’s batches say',
    where: 'server',
    subcommands: {
      pooled: pooledSubcommand(db),
      compare: compareSubcommand(db, pictures),
      forecast: forecastSubcommand(db),
      mine: mineSubcommand(db, pictures),
      next: nextSubcommand(db),
      odd: oddSubcommand(db),
    },
    handlers: compareHandlers(db),
  });
}
