import { pouringMl, TALLOW_DENSITY_G_PER_ML, usualYield } from '../../src/cooking/blends/tallow.js';
import type { Part, WorkingConstant, WorkingInput } from '../../src/cooking/working.js';
import { inputFrom } from '../../src/kitchen/asked.js';
import { renderInputs, renderParts } from '../../src/kitchen/render-working.js';
import { volumeWords, weightWords } from '../../src/words/amounts.js';
import { momentTyped } from '../../src/words/moments.js';
import { type PlannedBatch, scheduleParts } from './planned-batch.js';

/** What a plan rests on, and where each of it came from. */
export function planInputs(planned: PlannedBatch): readonly WorkingInput[] {
  const { values, render, amounts, frozen, jarMl, byMs, zone } = planned;
  const { smoke, unit, fat, tallow, meals, each } = values;
  const { wantedG, eachG } = amounts;
  const input = inputFrom({ values, kit: [] });
  const eachWords =
    eachG === undefined || (each && 'g' in each)
      ? weightWords(eachG ?? 0, unit)
      : volumeWords(pouringMl(eachG), unit);
  return [
    ...(fat === undefined ? [] : [input('Raw fat', 'fat', weightWords(fat, unit))]),
    ...(tallow === undefined ? [] : [input('Tallow wanted', 'tallow', weightWords(wantedG ?? 0, unit))]),
    ...(meals === undefined
      ? []
      : [input('Meals', 'meals', String(meals)), input('Tallow for each', 'each', eachWords)]),
    ...(byMs === undefined ? [] : [input('Ready by', 'by', momentTyped(byMs, zone))]),
    { name: 'Time zone', value: zone, origin: values.zone === undefined ? 'community' : 'said' },
    input('Frozen', 'frozen', frozen ? 'yes' : 'no'),
    input('Smoke', 'smoke', smoke ?? 'none'),
    input('Jars of', 'jar', volumeWords(jarMl, unit)),
    ...renderInputs(render),
  ];
}

const SHOWN_BY_WATER = ['Boiling', 'Boil-off', 'Loads', 'Top-ups', 'Vessel', 'Water'];

/**
 * Every calculation that a plan rests on, in the order in which they are made. It does not say what a render costs; what
 * /water shows as well may go where there is no room.
 */
export function planParts(planned: PlannedBatch): readonly Part[] {
  const parts = renderParts(planned.render)
    .filter(({ title }) => title !== 'Energy')
    .map((part) => (SHOWN_BY_WATER.includes(part.title) ? { ...part, alsoIn: '/water' } : part));
  return [...gatherPart(planned), ...parts, ...scheduleParts(planned)];
}

function gatherPart({ amounts, values, render }: PlannedBatch): readonly Part[] {
  const { wantedG, fatG, gatherYield, share } = amounts;
  const usual = usualYield(render.fat.cut, render.method, render.fat.rawFat);
  const { lean = 0 } = values;
  if (wantedG === undefined) return [];
  const middleShare: WorkingConstant = {
    name: 'Middle share',
    value: (usual.low + usual.high) / 2,
    unit: 'g/g',
    source: 'practice-yield',
  };
  const density: WorkingConstant = {
    name: 'Tallow weighs, as poured,',
    value: TALLOW_DENSITY_G_PER_ML.pouring,
    unit: 'g/mL',
    source: 'pouring-density',
  };
  return [
    {
      title: 'Fat to gather',
      calculation: {
        formula: `raw fat = tallow wanted ÷ (the middle share that ${share ? 'is forecast' : 'the cut gives'}${lean > 0 ? ' × fat held ÷ fat held without lean' : ''})`,
        constants: share ? [density] : [middleShare, density],
        assumptions: [],
        steps: [
          { name: 'Tallow wanted', value: wantedG, unit: 'g' },
          { name: 'Share taken', value: gatherYield, unit: '' },
          { name: 'Raw fat', value: fatG, unit: 'g' },
        ],
      },
    },
  ];
}
