import { EXPECTED_YIELD, pouringMl, TALLOW_DENSITY_G_PER_ML } from '../../src/cooking/blends/tallow.js';
import type { WorkingConstant, WorkingInput } from '../../src/cooking/working.js';
import { originOf } from '../../src/kitchen/asked.js';
import { ASSUMED, type Render, renderInputs } from '../../src/kitchen/render.js';
import type { Part } from '../../src/kitchen/working.js';
import { volumeWords, weightWords } from '../../src/words/amount-words.js';
import { momentTyped } from '../../src/words/moments.js';
import type { Amounts } from './amounts.js';
import type { PlanValues } from './options.js';
import type { PlannedBatch } from './planned-batch.js';

/** What a plan rests on, and where each of it came from. */
export function planInputs(planned: PlannedBatch): readonly WorkingInput[] {
  const { asked, values, render, amounts, frozen, jarMl, byMs, zone } = planned;
  const { smoke, unit, fat } = values;
  const input = (name: string, option: string, value: string): WorkingInput => ({
    name,
    value,
    unit: '',
    origin: originOf(asked, option),
  });
  return [
    ...(fat === undefined ? [] : [input('Raw fat', 'fat', weightWords(fat, unit))]),
    ...wantedInputs(amounts, values).map(({ name, option, value }) => input(name, option, value)),
    ...(byMs === undefined ? [] : [input('Ready by', 'by', momentTyped(byMs, zone))]),
    {
      name: 'Time zone',
      value: zone,
      unit: '',
      origin: originOf(asked, 'zone') === 'you said' ? 'you said' : 'this community',
    },
    input('Frozen', 'frozen', frozen ? 'yes' : 'no'),
    input('Smoke', 'smoke', smoke ?? 'none'),
    input('Jars of', 'jar', volumeWords(jarMl, unit)),
    ...renderInputs(render, values, asked),
  ];
}

function wantedInputs({ eachG, wantedG }: Amounts, { meals, each, tallow, unit }: PlanValues) {
  if (tallow !== undefined && wantedG !== undefined)
    return [{ name: 'Tallow wanted', option: 'tallow', value: weightWords(wantedG, unit) }];
  if (meals === undefined || eachG === undefined) return [];
  const eachWords =
    each !== undefined && 'g' in each ? weightWords(eachG, unit) : volumeWords(pouringMl(eachG), unit);
  return [
    { name: 'Meals', option: 'meals', value: String(meals) },
    { name: 'Tallow for each', option: 'each', value: eachWords },
  ];
}

/** Every calculation that a plan rests on, in the order in which they are made. */
export function planParts({ amounts, values, render, schedule }: PlannedBatch): readonly Part[] {
  return [...gatherPart(amounts, values), ...renderParts(render), ...schedule.parts];
}

function gatherPart(
  { wantedG, fatG, leastYield, share }: Amounts,
  { cut = ASSUMED.cut, lean = 0 }: PlanValues,
): readonly Part[] {
  if (wantedG === undefined) return [];
  const leastShare: WorkingConstant = {
    name: 'Least share',
    value: EXPECTED_YIELD[cut].low,
    unit: 'g/g',
    source: 'practice-yield',
  };
  return [
    {
      title: 'Fat to gather',
      calculation: {
        formula: `raw fat = tallow wanted ÷ (the least share that ${share ? 'is forecast' : 'the cut gives'}${lean > 0 ? ' × fat held ÷ fat held without lean' : ''})`,
        constants: [
          ...(share ? [] : [leastShare]),
          {
            name: 'Tallow weighs, as poured,',
            value: TALLOW_DENSITY_G_PER_ML.pouring,
            unit: 'g/mL',
            source: 'pouring-density',
          },
        ],
        assumptions: [],
        steps: [
          { name: 'Tallow wanted', value: wantedG, unit: 'g' },
          { name: 'Share taken', value: leastYield, unit: '' },
          { name: 'Raw fat', value: fatG, unit: 'g' },
        ],
      },
    },
  ];
}

const SHOWN_BY_WATER = ['Boiling', 'Boil-off', 'Top-ups', 'Vessel', 'Water'];

/** A plan does not say what a render costs; what /water shows as well may go where there is no room. */
function renderParts({ parts }: Render): readonly Part[] {
  return parts
    .filter(({ title }) => title !== 'Energy')
    .map((part) => (SHOWN_BY_WATER.includes(part.title) ? { ...part, alsoIn: '/water' } : part));
}
