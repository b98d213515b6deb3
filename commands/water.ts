import { command, deed } from '../src/chat/command.js';
import { reply } from '../src/chat/reply.js';
import { type Cut, cutLabel, type Method, methodLabel, moistureOf } from '../src/trade/methods.js';
import { expectedTallow } from '../src/trade/tallow.js';
import { type Water, waterFor } from '../src/trade/water.js';
import { shownCautions } from './cautions-shown.js';
import * as option from './options.js';
import { sourceLines } from './sources-shown.js';
import {
  capacityWords,
  minutesWords,
  type Units,
  volumeRangeWords,
  volumeWords,
  weightRangeWords,
  weightWords,
} from './words.js';

const DESCRIPTION = 'How much water a batch needs, how big a pot, and what it may give';

/** `/water`: the quick question before a batch. */
export function water() {
  return command({
    name: 'water',
    description: DESCRIPTION,
    deeds: deed({
      description: DESCRIPTION,
      options: {
        fat: option.fatWeight(true),
        method: option.method(false),
        cut: option.cut(false),
        vessel: option.vesselVolume(false, 'Size of the pot or cooker'),
        unit: option.unitSystem(),
      },
      run({ fat, method = 'open-pot', cut = 'ground', vessel, unit }) {
        const answer = waterFor({ fatG: fat, method, cut });
        const tallow = expectedTallow({ fatG: fat, cut });
        return reply({
          title: `${volumeWords(answer.waterMl, unit)} of water for ${weightWords(fat, unit)} of fat`,
          lines: [
            `${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}. ${rangeWords(answer, method, unit)}`,
            vesselWords(answer, method, vessel, unit),
            `Render for ${minutesWords(answer.minutesLow)} at least.`,
            `Expect ${weightRangeWords(tallow.tallowLowG, tallow.tallowHighG, unit)} of tallow, about ${volumeRangeWords(tallow.tallowLowMl, tallow.tallowHighMl, unit)} when poured.${minceWords(cut)}`,
          ],
          cautions: shownCautions({ method, cut, activity: 'render' }),
          sources: sourceLines([...answer.sources, ...tallow.sources]),
          figures: {
            fatG: fat,
            waterMl: answer.waterMl,
            waterLowMl: answer.waterLowMl,
            waterHighMl: answer.waterHighMl,
            vesselMl: answer.vesselMl,
            minutesLow: answer.minutesLow,
            tallowLowG: tallow.tallowLowG,
            tallowHighG: tallow.tallowHighG,
            tallowLowMl: tallow.tallowLowMl,
            tallowHighMl: tallow.tallowHighMl,
          },
        });
      },
    }),
  });
}

function rangeWords({ kind, waterLowMl, waterHighMl }: Water, method: Method, unit: Units): string {
  if (kind === 'starter')
    return 'Dry: this is only a starter, so that nothing scorches before fat has melted.';
  const dry =
    moistureOf(method) === 'either' ? ' Without boiling water it starts with about a cup instead.' : '';
  return `The usual range is ${volumeRangeWords(waterLowMl, waterHighMl, unit)}.${dry}`;
}

function vesselWords({ vesselMl }: Water, method: Method, ownMl: number | undefined, unit: Units): string {
  const limit = method === 'pressure' ? 'half full at most' : 'a third left empty';
  const smallest = `The smallest ${method === 'pressure' ? 'cooker' : 'vessel'} for it holds ${capacityWords(vesselMl, unit)}, ${limit}.`;
  if (ownMl === undefined) return smallest;
  if (ownMl >= vesselMl)
    return `Your ${capacityWords(ownMl, unit)} are enough: ${smallest.charAt(0).toLowerCase()}${smallest.slice(1)}`;
  return `Your ${capacityWords(ownMl, unit)} are too small for one load: cook it in ${Math.ceil(vesselMl / ownMl)} equal loads. ${smallest}`;
}

function minceWords(cut: Cut): string {
  return cut === 'minced'
    ? ' Minced has no figure of its own; this is the range of ground fat, a close neighbour.'
    : '';
}
