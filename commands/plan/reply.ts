import { type Reply, reply } from '../../src/chat/reply.js';
import { SHARE_SOURCE } from '../../src/findings/expected-share.js';
import type { Render } from '../../src/kitchen/render.js';
import {
  expectWords,
  lastingWords,
  rangeWords,
  unusedWords,
  vesselWords,
} from '../../src/kitchen/render-words.js';
import { shownCautions } from '../../src/safety/cautions-shown.js';
import { seasonAt } from '../../src/safety/season.js';
import type { SourceId } from '../../src/safety/sources.js';
import { sourceLines } from '../../src/safety/sources-shown.js';
import { countWords, volumeWords, weightWords } from '../../src/words/amount-words.js';
import { cutLabel, methodLabel } from '../../src/words/methods.js';
import { momentWords } from '../../src/words/moments.js';
import { coolingWords } from './cooling-words.js';
import { planFigures } from './figures.js';
import type { PlannedBatch } from './planned-batch.js';
import { timelineLines } from './timeline-words.js';
import { wantedWords } from './wanted-words.js';

/** What to gather, what to put it in, and what to do when. */
export function planReply(planned: PlannedBatch): Reply {
  const { render, nowMs, zone } = planned;
  const { method, cut } = render;
  return reply({
    title: titleWords(planned),
    lines: [...gatheringLines(planned), ...clockLines(planned)],
    cautions: shownCautions({ method, cut, activity: 'render', season: seasonAt(new Date(nowMs), zone) }),
    sources: sourcesOf(render),
    figures: planFigures(planned),
  });
}

function titleWords({ amounts: { fatG, wantedG }, values, schedule, zone }: PlannedBatch): string {
  const fat = `${weightWords(fatG, values.unit)} of fat`;
  const ready = `ready ${momentWords(schedule.timeline.finishMs, zone)}`;
  return `${wantedG === undefined ? fat : `Gather ${fat}`}: ${ready}`;
}

function gatheringLines(planned: PlannedBatch): readonly string[] {
  const { asked, values, amounts, render, jars, jarMl } = planned;
  const { method, cut, water, topUps } = render;
  const { loads } = render.loads;
  const { unit } = values;
  const lasts = topUps === undefined || (topUps.ok && topUps.enough);
  return [
    ...wantedWords(amounts, values),
    `${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}: ${volumeWords(water.waterMl, unit)} of water${loads > 1 ? ` in ${loads} loads` : ''}. ${rangeWords(render, unit)}`,
    vesselWords(render, asked, unit),
    ...(lasts ? [] : lastingWords(render, unit)),
    `${expectWords(render, unit)} Have ${countWords(jars, 'jar', 'jars')} of ${volumeWords(jarMl, unit)} ready.`,
    ...unusedWords(render, asked, '/plan'),
  ];
}

function clockLines({ values, render, schedule, zone }: PlannedBatch): readonly string[] {
  const { timeline, cooling } = schedule;
  const { loads } = render.loads;
  const { unit } = values;
  return [
    `Begin ${momentWords(timeline.startMs, zone)}; ${zoneWords(zone, values.zone)}.`,
    ...timelineLines(timeline.steps, { cut: render.cut, loads, zone, unit }),
    ...coolingWords(cooling, loads, unit),
  ];
}

function zoneWords(zone: string, said: string | undefined): string {
  return said === undefined && zone === 'UTC' ? 'UTC, unless you say zone: and your city' : `${zone} time`;
}

const WET_SOURCES: readonly SourceId[] = ['practice-yield', 'food-code-cooling', 'fsis-thawing'];
const DRY_SOURCES: readonly SourceId[] = ['practice-yield', 'usda-separable-fat', 'fsis-thawing'];

const sourcesOf = ({ share, water }: Render): readonly string[] => [
  ...(share ? [SHARE_SOURCE] : []),
  ...sourceLines(water.kind === 'wet' ? WET_SOURCES : DRY_SOURCES),
];
