import { command, refuseUnreadable, subcommand } from '../src/chat/command.js';
import { parseOptions } from '../src/chat/option.js';
import { type Refusal, reply } from '../src/chat/reply.js';
import { waterFor } from '../src/cooking/water/water.js';
import { expectedShareFor, SHARE_SOURCE } from '../src/findings/expected-share.js';
import { type Asked, askedWithKit, optionsIn, originOf, suggestVessels } from '../src/kitchen/asked.js';
import * as option from '../src/kitchen/options.js';
import {
  ASSUMED,
  RENDER_OPTIONS,
  type Render,
  refuseHeatUp,
  renderFigures,
  renderInputs,
  renderOf,
} from '../src/kitchen/render.js';
import {
  boilingWords,
  expectWords,
  heatUpWords,
  lastingWords,
  rangeWords,
  timeWords,
  unusedWords,
  vesselWords,
} from '../src/kitchen/render-words.js';
import { methodFor } from '../src/kitchen/vessel-method.js';
import { type Answer, showingWork } from '../src/kitchen/working.js';
import type { Records } from '../src/records/database.js';
import { kitOf } from '../src/records/kit.js';
import { shownCautions } from '../src/safety/cautions-shown.js';
import type { SourceId } from '../src/safety/sources.js';
import { sourceLines } from '../src/safety/sources-shown.js';
import { volumeWords, weightWords } from '../src/words/amount-words.js';
import { cutLabel, methodLabel } from '../src/words/methods.js';

const DESCRIPTION = 'How much water a batch needs, how big a pot, and what it may give';

const OPTIONS = { fat: option.fatWeight(true), ...RENDER_OPTIONS } as const;

/** `/water`: the quick question before a batch. */
export function water(db: Records) {
  const work = showingWork(db, 'water', answer);
  return command({
    name: 'water',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: OPTIONS,
      async run(values, call, given) {
        const { fat, cut = ASSUMED.cut } = values;
        const said = await methodFor(db, call, values);
        if (said.kind === 'refusal') return said;
        const { method = ASSUMED.method } = said;
        const neededMl = waterFor({ fatG: fat, method, cut }).vesselMl;
        const [asked, share] = await Promise.all([
          askedWithKit(db, call, given, { method, neededMl }),
          expectedShareFor(db, call, {
            method,
            cut,
            fatG: fat,
            minutes: values.minutes,
            rawFat: values.kind,
          }),
        ]);
        if ('text' in asked) return asked;
        return work.say({ ...asked, kit: { ...asked.kit, ...said.kit }, share }, call);
      },
      suggest: async (_option, typed, _given, call) => suggestVessels(await kitOf(db, call), typed),
    }),
    handlers: work.handlers,
  });
}

function answer(asked: Asked): Answer | Refusal {
  const read = parseOptions(OPTIONS, optionsIn(asked));
  if (!read.ok) return refuseUnreadable(read.problems);
  const { fat, ...values } = read.values;
  const render = renderOf({ fatG: fat, values, measured: asked.measured, share: asked.share });
  if (render.kind === 'refusal') return render;
  const { unit } = values;
  const { heatUp, method, cut } = render;
  if (heatUp && !heatUp.ok && originOf(asked, 'burner') === 'you said')
    return refuseHeatUp(heatUp, render, unit);
  return {
    kind: 'answer',
    reply: reply({
      title: `${volumeWords(render.water.waterMl, unit)} of water for ${weightWords(fat, unit)} of fat`,
      lines: [
        `${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}. ${rangeWords(render, unit)}${boilingWords(render, asked, unit)}`,
        ...lastingWords(render, unit),
        vesselWords(render, asked, unit),
        `${timeWords(render)}${heatUpWords(render, asked)}`,
        expectWords(render, unit),
        ...unusedWords(render, asked, '/water'),
      ],
      cautions: shownCautions({ method, cut, activity: 'render' }),
      sources: [...sourceLines(weightiestSources(render, asked)), ...(render.share ? [SHARE_SOURCE] : [])],
      figures: renderFigures(render),
    }),
    inputs: [
      { name: 'Raw fat', value: weightWords(fat, unit), unit: '', origin: originOf(asked, 'fat') },
      ...renderInputs(render, values, asked),
    ],
    parts: render.parts.map((part) => (part.title === 'Heat-up' ? { ...part, alsoIn: '/plan' } : part)),
  };
}

/** What the figures of the reply rest on most; the working names the rest. */
function weightiestSources({ water, method }: Render, asked: Asked): readonly SourceId[] {
  const ratio = water.kind === 'wet' ? 'practice-water-ratio' : 'practice-dry-starter';
  return originOf(asked, 'altitude') !== 'assumed' || method === 'pressure'
    ? [ratio, 'iapws-if97', 'iso-2533']
    : [ratio, 'usda-separable-fat', 'usda-tallow'];
}
