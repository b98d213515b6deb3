import { command } from '../src/chat/command.js';
import { compareDeed, compareHandlers } from '../src/findings/compare.js';
import { mineDeed } from '../src/findings/mine.js';
import { nextDeed } from '../src/findings/next.js';
import { oddDeed } from '../src/findings/odd.js';
import { pooledDeed } from '../src/findings/pooled.js';
import { forecastDeed } from '../src/findings/yield-forecast.js';
import type { Pictures } from '../src/pictures/pictures.js';
import type { Records } from '../src/records/database.js';

/** `/yield`: what the community's batches say. */
export function yieldCommand(db: Records, pictures: Pictures) {
  return command({
    name: 'yield',
    description: 'What the community’s batches say',
    where: 'server',
    deeds: {
      pooled: pooledDeed(db),
      compare: compareDeed(db, pictures),
      forecast: forecastDeed(db),
      mine: mineDeed(db, pictures),
      next: nextDeed(db),
      odd: oddDeed(db),
    },
    handlers: compareHandlers(db),
  });
}
