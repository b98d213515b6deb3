import { command } from '../src/chat/command.js';
import type { ValuesOf } from '../src/chat/option.js';
import { figuresOf, reply } from '../src/chat/reply.js';
import { LONGEST_SMOKE_HOURS, smokeOf } from '../src/cooking/blends/smoke.js';
import { pouringMl, TALLOW_DENSITY_G_PER_ML } from '../src/cooking/blends/tallow.js';
import { type Asked, calculation, inputFrom } from '../src/kitchen/asked.js';
import * as option from '../src/kitchen/options.js';
import type { Answer } from '../src/kitchen/working.js';
import type { Records } from '../src/records/database.js';
import { cautionsShown } from '../src/safety/choose.js';
import type { Season } from '../src/safety/occasion.js';
import { sourceLines } from '../src/safety/sources.js';
import {
  lengthWords,
  roundWeightWords,
  temperatureWords,
  type Units,
  volumeWords,
  weightWords,
} from '../src/words/amounts.js';
import { countWords } from '../src/words/lists.js';

const OPTIONS = {
  tallow: option.tallowAmount(true, 'Rendered tallow, by weight or volume'),
  strength: option.smokeStrength('How strong; light unless said'),
  unit: option.unitSystem(),
} as const;

/** `/smoke`: smoking tallow once it is rendered. */
export function smoke(db: Records) {
  const description = 'Smoke rendered tallow: how long, and in what pan';
  const { subcommand, handlers } = calculation(db, 'smoke', { description, options: OPTIONS, answer });
  return command({ name: 'smoke', description, subcommands: subcommand, handlers });
}

function answer(asked: Asked<ValuesOf<typeof OPTIONS>>, season: Season | undefined): Answer {
  const { tallow, strength = 'light', unit } = asked.values;
  const tallowG = option.gramsOf(tallow, TALLOW_DENSITY_G_PER_ML.pouring);
  const plan = smokeOf({ tallowG, strength });
  const { hours, hoursLow, hoursHigh, pan, pans, depthCm, panDepthCm, holdAboveC, holdBelowC } = plan;
  const time = hoursLow === hoursHigh ? `About ${hours} h` : `${hoursLow} to ${hoursHigh} h`;
  const amount = tallowWords(tallow, tallowG, unit);
  const input = inputFrom(asked);
  return {
    reply: reply({
      title: `${time} for a ${strength} smoke`,
      lines: [
        `${amount}${'g' in tallow ? '' : ','} of tallow: smoke it rendered, strained and liquid, not as raw fat.`,
        `Pour it ${lengthWords(depthCm / 100, unit)} deep, in ${countWords(pans, 'pan', 'pans')} like this: ${pan.name}, ${pan.widthCm} by ${pan.lengthCm} cm, at least ${lengthWords(panDepthCm / 100, unit)} high, so that half of it is rim.`,
        `Stay with it. Keep it above ${temperatureWords(holdAboveC, unit)} and below ${temperatureWords(holdBelowC, unit)} all the while, over indirect heat. Longer than ${LONGEST_SMOKE_HOURS} h only makes the fat older.`,
      ],
      ...cautionsShown({ activity: 'smoke', season }, { unit }),
      sources: sourceLines(plan.sources),
      figures: {
        tallowG,
        tallowMl: pouringMl(tallowG),
        ...figuresOf(plan, 'hours', 'hoursLow', 'hoursHigh', 'depthCm', 'areaCm2', 'panDepthCm'),
        ...figuresOf(plan, 'pans', 'holdAboveC', 'holdBelowC'),
        longestHours: LONGEST_SMOKE_HOURS,
        panWidthCm: pan.widthCm,
        panLengthCm: pan.lengthCm,
      },
    }),
    inputs: [input('Tallow', 'tallow', amount), input('Strength', 'strength', strength)],
    parts: [{ title: 'Pan', calculation: plan.calculation }],
  };
}

function tallowWords(amount: option.Amount, tallowG: number, unit: Units): string {
  return 'g' in amount
    ? weightWords(tallowG, unit)
    : `${volumeWords(amount.ml, unit)}, about ${roundWeightWords(tallowG, unit)}`;
}
