import { command, subcommand } from '../src/chat/command.js';
import { isRefusal, type Refusal, reply } from '../src/chat/reply.js';
import { expectedShareFor, SHARE_SOURCE } from '../src/findings/expected-share.js';
import { originOf } from '../src/kitchen/asked.js';
import { ASSUMED, fatWeight, RENDER_OPTIONS } from '../src/kitchen/options.js';
import { type Render, refuseHeatUp, renderOf } from '../src/kitchen/render.js';
import {
  boilingWords,
  expectWords,
  heatUpWords,
  lastingWords,
  rangeWords,
  rawFatWords,
  timeWords,
  unusedWords,
  vesselWords,
} from '../src/kitchen/render-words.js';
import { renderFigures, renderInputs, renderParts } from '../src/kitchen/render-working.js';
import { cookOf, seasonHere, situationOf } from '../src/kitchen/situation.js';
import { measuredLike, suggestVessels, withKit } from '../src/kitchen/with-kit.js';
import { type Answer, withWorking, workingHandlers } from '../src/kitchen/working.js';
import type { Records } from '../src/records/database.js';
import { cautionsShown } from '../src/safety/choose.js';
import type { Season } from '../src/safety/occasion.js';
import { type SourceId, sourceLines } from '../src/safety/sources.js';
import { volumeWords, weightWords } from '../src/words/amounts.js';
import { cutLabel, methodLabel } from '../src/words/methods.js';

const DESCRIPTION = 'How much water a batch needs, how big a pot, and what it may give';

/** `/water`: the quick question before a batch. */
export function water(db: Records) {
  return command({
    name: 'water',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: { fat: fatWeight(true), ...RENDER_OPTIONS },
      async run({ fat: fatG, ...said }, call) {
        const asked = await withKit(db, call, said, fatG);
        if (isRefusal(asked)) return asked;
        const { method = ASSUMED.method, cut = ASSUMED.cut, minutes, kind: rawFat } = asked.values;
        const [measured, share, season] = await Promise.all([
          measuredLike(db, call, asked),
          expectedShareFor(db, call, { method, cut, fatG, minutes, rawFat }),
          seasonHere(db, call),
        ]);
        const render = renderOf({ ...asked, fatG, measured, share });
        return isRefusal(render) ? render : withWorking(db, 'water', answer(render, season), call);
      },
      suggest: (_option, typed, _given, call) => suggestVessels(db, typed, call),
    }),
    handlers: workingHandlers(db, 'water'),
  });
}

function answer(render: Render, season: Season | undefined): Answer | Refusal {
  const { asked, method, fat, water, heat, tallow } = render;
  const { unit } = asked.values;
  const fatWords = weightWords(fat.fatG, unit);
  if (heat.heatUp?.ok === false && originOf(asked, 'burner') === 'said')
    return refuseHeatUp(heat.heatUp, render);
  return {
    reply: reply({
      title: `${volumeWords(water.waterMl, unit)} of water for ${fatWords} of fat`,
      lines: [
        `${methodLabel(method)}, ${cutLabel(fat.cut).toLowerCase()}. ${rangeWords(render)}${boilingWords(render)}`,
        ...rawFatWords(render, '/water'),
        ...lastingWords(render),
        vesselWords(render),
        `${timeWords(render)}${heatUpWords(render)}`,
        expectWords(render),
        ...unusedWords(render, '/water'),
      ],
      ...cautionsShown(situationOf(render, 'render', season), cookOf(render)),
      sources: [...sourceLines(weightiestSources(render)), ...(tallow.share ? [SHARE_SOURCE] : [])],
      figures: renderFigures(render),
    }),
    usesKit: asked.kit.length > 0,
    inputs: [{ name: 'Raw fat', value: fatWords, origin: 'said' }, ...renderInputs(render)],
    parts: renderParts(render).map((part) =>
      part.title === 'Heat-up' ? { ...part, alsoIn: '/plan' } : part,
    ),
  };
}

/** What the figures of the reply rest on most; the working names the rest. */
function weightiestSources({ asked, water, method }: Render): readonly SourceId[] {
  const ratio = water.kind === 'wet' ? 'practice-water-ratio' : 'practice-dry-starter';
  return originOf(asked, 'altitude') !== 'assumed' || method === 'pressure'
    ? [ratio, 'iapws-if97', 'iso-2533']
    : [ratio, 'usda-separable-fat', 'usda-tallow'];
}
