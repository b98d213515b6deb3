import { command } from '../src/chat/command.js';
import type { Pictures } from '../src/pictures/pictures.js';
import type { Records } from '../src/records/database.js';
import { compareDeed, compareHandlers } from './yield/compare.js';
import { forecastDeed } from './yield/forecast.js';
import { mineDeed } from './yield/mine.js';
import { nextDeed } from './yield/next.js';
import { oddDeed } from './yield/odd.js';
import { pooledDeed } from './yield/pooled.js';

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
