import { subcommand } from '../../src/chat/command.js';
import type { ValuesOf } from '../../src/chat/option.js';
import * as option from '../../src/kitchen/options.js';
import type { Records } from '../../src/records/database.js';
import { BATCH_DETAILS } from './options.js';
import { weigh } from './weighing.js';
import { readWeighingDay } from './weighing-day.js';

const OPTIONS = {
  fat: option.fatWeight(true),
  tallow: option.tallowWeight(true),
  method: option.method(true),
  cut: option.cut(true),
  ...BATCH_DETAILS,
} as const;

/** `/batch log`: a finished batch, its yield and how it stands. */
export function logSubcommand(db: Records) {
  return subcommand({
    description: 'Log a finished batch: its yield and how it stands',
    stores: true,
    options: OPTIONS,
    async run(values, call) {
      const day = await readWeighingDay(db, values.date, call);
      return 'kind' in day ? day : weigh(db, factsSaid(values, day.at), undefined, call);
    },
  });
}

const factsSaid = (said: ValuesOf<typeof OPTIONS>, finishedAt: Date) => ({
  method: said.method,
  cut: said.cut,
  fatG: said.fat,
  tallowG: said.tallow,
  waterMl: said.water,
  waterLeftMl: said['water-left'],
  minutes: said.minutes,
  weighedAs: said['weighed-as'],
  taste: said.taste ?? [],
  note: said.note,
  finishedAt,
});
