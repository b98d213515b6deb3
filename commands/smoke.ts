import { command, refuseUnreadable, subcommand } from '../src/chat/command.js';
import { parseOptions } from '../src/chat/option.js';
import { choice } from '../src/chat/options.js';
import { type Refusal, reply } from '../src/chat/reply.js';
import { LONGEST_SMOKE_HOURS, SMOKE_STRENGTHS, smokeOf } from '../src/cooking/blends/smoke.js';
import { pouringMl, TALLOW_DENSITY_G_PER_ML } from '../src/cooking/blends/tallow.js';
import { type Asked, askedPlainly, originOf } from '../src/kitchen/asked.js';
import * as option from '../src/kitchen/options.js';
import { type Answer, showingWork } from '../src/kitchen/working.js';
import type { Records } from '../src/records/database.js';
import { shownCautions } from '../src/safety/cautions-shown.js';
import { sourceLines } from '../src/safety/sources-shown.js';
import {
  countWords,
  lengthWords,
  roundWeightWords,
  temperatureWords,
  type Units,
  volumeWords,
  weightWords,
} from '../src/words/amount-words.js';

const DESCRIPTION = 'Smoke rendered tallow: how long, and in what pan';

const OPTIONS = {
  tallow: option.tallowAmount(true, 'Rendered tallow, by weight or volume'),
  strength: choice({
    description: 'How strong; light unless said',
    required: false,
    choices: SMOKE_STRENGTHS.map((value) => ({
      value,
      label: `${value.charAt(0).toUpperCase()}${value.slice(1)}`,
    })),
  }),
  unit: option.unitSystem(),
} as const;

/** `/smoke`: smoking tallow once it is rendered. */
export function smoke(db: Records) {
  const work = showingWork(db, 'smoke', answer);
  return command({
    name: 'smoke',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: OPTIONS,
      run: (_values, call, given) => work.say(askedPlainly(given), call),
    }),
    handlers: work.handlers,
  });
}

function answer(asked: Asked): Answer | Refusal {
  const read = parseOptions(OPTIONS, asked.said);
  if (!read.ok) return refuseUnreadable(read.problems);
  const { tallow, strength = 'light', unit } = read.values;
  const tallowG = 'g' in tallow ? tallow.g : tallow.ml * TALLOW_DENSITY_G_PER_ML.pouring;
  const plan = smokeOf({ tallowG, strength });
  const { hours, hoursLow, hoursHigh, pan, pans, depthCm, panDepthCm, holdAboveC } = plan;
  const time = hoursLow === hoursHigh ? `about ${hours} h` : `${hoursLow} to ${hoursHigh} h`;
  return {
    kind: 'answer',
    reply: reply({
      title: `${time.charAt(0).toUpperCase()}${time.slice(1)} for a ${strength} smoke`,
      lines: [
        `${tallowWords(tallow, tallowG, unit)}${'g' in tallow ? '' : ','} of tallow: smoke it rendered, strained and liquid, not as raw fat.`,
        `Pour it ${lengthWords(depthCm / 100, unit)} deep, in ${countWords(pans, 'pan', 'pans')} like this: ${pan.name}, ${pan.widthCm} by ${pan.lengthCm} cm, at least ${lengthWords(panDepthCm / 100, unit)} high, so that half of it is rim.`,
        `Keep it above ${temperatureWords(holdAboveC, unit)} all the while, over indirect heat. Longer than ${LONGEST_SMOKE_HOURS} h only makes the fat older.`,
      ],
      cautions: shownCautions({ activity: 'smoke' }),
      sources: sourceLines(plan.sources),
      figures: {
        tallowG,
        tallowMl: pouringMl(tallowG),
        hours,
        hoursLow,
        hoursHigh,
        longestHours: LONGEST_SMOKE_HOURS,
        depthCm,
        areaCm2: plan.areaCm2,
        panDepthCm,
        panWidthCm: pan.widthCm,
        panLengthCm: pan.lengthCm,
        pans,
        holdAboveC,
      },
    }),
    inputs: [
      {
        name: 'Tallow',
        value: tallowWords(tallow, tallowG, unit),
        unit: '',
        origin: originOf(asked, 'tallow'),
      },
      { name: 'Strength', value: strength, unit: '', origin: originOf(asked, 'strength') },
    ],
    parts: [{ title: 'Pan', calculation: plan.calculation }],
  };
}

function tallowWords(amount: option.Amount, tallowG: number, unit: Units): string {
  return 'g' in amount
    ? weightWords(tallowG, unit)
    : `${volumeWords(amount.ml, unit)}, about ${roundWeightWords(tallowG, unit)}`;
}
