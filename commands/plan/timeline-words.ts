import type { Step } from '../../src/cooking/planning/timeline.js';
import type { StepKind } from '../../src/cooking/planning/timeline-steps.js';
import { listWords } from '../../src/words/lists.js';
import { clockWords, spanWords } from '../../src/words/moments.js';
import type { PlannedBatch } from './planned-batch.js';
import { BRIEFLY, stepName, stepSentence } from './step-words.js';

/** One line a step with what to do; of several loads the first is told in full and each other one in a line. */
export function timelineLines(planned: PlannedBatch): readonly string[] {
  const { steps } = planned.timeline;
  const { loads } = planned.render.pot.loads;
  const others = Array.from({ length: Math.max(0, loads - 1) }, (_, before) => before + 2);
  const told = steps.filter(({ load }) => load <= 1);
  const lines = told.map((step) => stepLine(step, planned));
  const afterFirst = told.findLastIndex(({ load }) => load === 1) + 1;
  return [
    ...lines.slice(0, afterFirst),
    ...others.map((load) => loadLine(load, planned)),
    ...lines.slice(afterFirst),
    ...nightLines(planned),
  ];
}

/** Who must be awake, where somebody said that they will be; and what a slow cooker does overnight. */
function nightLines(planned: PlannedBatch): readonly string[] {
  const { timeline, render, nights } = planned;
  const late = timeline.steps.filter(({ inQuietHours }) => inQuietHours);
  const names = [...new Set(late.map(({ kind }) => stepName(kind, planned).toLowerCase()))];
  const isOn = timeline.steps.some(
    ({ kind, startMs, endMs }) =>
      kind === 'render' && nights.some(({ fromMs, toMs }) => startMs < toMs && endMs > fromMs),
  );
  return [
    ...(late.length === 0
      ? []
      : [
          `At night somebody must be awake beside it: ${listWords(names)}. Else stop: heat off, strain, chill, go on in the morning.`,
        ]),
    ...(render.method === 'slow-cooker' && isOn
      ? [
          'The slow cooker goes on overnight by itself, lid on, nothing near it, somebody in the house, if its manual allows that.',
        ]
      : []),
  ];
}

function stepLine(step: Step, planned: PlannedBatch): string {
  const { kind, load, startMs, endMs } = step;
  const which = load === 1 && planned.render.pot.loads.loads > 1 ? ', load 1' : '';
  return `${spanWords(startMs, endMs, planned.zone)}: ${stepName(kind, planned)}${which}. ${stepSentence(step, planned)}`;
}

/** Of more loads than this only the spans are told. */
const MOST_LOADS_TOLD = 6;
/** What is told of a load like the first. */
const TOLD: readonly StepKind[] = ['heat-up', 'render', 'release', 'strain'];

function loadLine(load: number, planned: PlannedBatch): string {
  const { timeline, zone, render } = planned;
  const own = timeline.steps.filter((step) => step.load === load);
  const [first] = own;
  const last = own.at(-1);
  if (first === undefined || last === undefined) throw new RangeError(`there is no load ${load}`);
  const parts = own.flatMap((step) =>
    TOLD.includes(step.kind)
      ? `${(BRIEFLY[step.kind] ?? stepName(step.kind, planned)).toLowerCase()} ${clockWords(step.startMs, zone)}`
      : [],
  );
  const told = render.pot.loads.loads > MOST_LOADS_TOLD ? '' : `: ${parts.join(', ')}`;
  return `${spanWords(first.startMs, last.endMs, zone)}: Load ${load}, as load 1${told}.`;
}
