import { FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import { DAY_MINUTES } from '../../src/cooking/planning/nights.js';
import type { Step } from '../../src/cooking/planning/timeline.js';
import type { StepKind } from '../../src/cooking/planning/timeline-steps.js';
import { temperatureWords } from '../../src/words/amounts.js';
import type { Cut } from '../../src/words/methods.js';
import { clockWords, spanWords } from '../../src/words/moments.js';
import type { PlannedBatch } from './planned-batch.js';

const CUT_WORDS: Readonly<Record<Cut, string>> = {
  ground: 'Grind',
  minced: 'Mince',
  cubed: 'Cut into cubes',
};

function stepWords(kind: StepKind, { render, values: { unit } }: PlannedBatch): string {
  const words: Readonly<Record<StepKind, string>> = {
    thaw: 'Thaw',
    cut: CUT_WORDS[render.fat.cut],
    'heat-up': 'Heat up',
    render: 'Render',
    release: 'Let the pressure fall',
    strain: 'Strain',
    'cool-first': `Cool to ${temperatureWords(FOOD_CODE_COOLING.firstC, unit)}`,
    'cool-last': `Cool on to ${temperatureWords(FOOD_CODE_COOLING.lastC, unit)}`,
    set: 'Let it set',
    lift: 'Lift and scrape',
    're-melt': 'Re-melt and dry',
    smoke: 'Smoke',
    jar: 'Jar',
  };
  return words[kind];
}

/** Said shorter after the first load, so that twelve of them fit into a message. */
const BRIEFLY: Readonly<Partial<Record<StepKind, string>>> = {
  release: 'Pressure falls',
  'cool-first': 'Cool',
};

/** One line a step with its reason; of several loads the first is told in full and each other one in a line. */
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
    ...nightLines(steps, loads),
  ];
}

/** Why some of it falls into the night, and what helps where it is the number of loads. */
function nightLines(steps: readonly Step[], loads: number): readonly string[] {
  if (!steps.some(({ inQuietHours }) => inQuietHours)) return [];
  return loads > 1 && minutesOfLoads(steps) > DAY_MINUTES
    ? [
        'Some of it falls into the night: so many loads in a row do not fit between two nights. Part of the fat can be cooked on another day.',
      ]
    : ['Some of it falls into the night, because nothing else fits.'];
}

/** From the first handling of the fat to the last of its loads, as somebody has to be there. */
function minutesOfLoads(steps: readonly Step[]): number {
  const work = steps.filter(({ handsOn }) => handsOn);
  const ends = work.flatMap(({ load, endMs }) => (load > 0 ? endMs : []));
  return (Math.max(...ends) - Math.min(...work.map(({ startMs }) => startMs))) / 60_000;
}

function stepLine({ kind, load, startMs, endMs, why }: Step, planned: PlannedBatch): string {
  const which = load === 1 && planned.render.pot.loads.loads > 1 ? ', load 1' : '';
  return `${spanWords(startMs, endMs, planned.zone)}: ${stepWords(kind, planned)}${which}. ${why}`;
}

function loadLine(load: number, planned: PlannedBatch): string {
  const { timeline, zone } = planned;
  const own = timeline.steps.filter((step) => step.load === load);
  const [first] = own;
  const last = own.at(-1);
  if (first === undefined || last === undefined) throw new RangeError(`there is no load ${load}`);
  // Cooling goes on to the end of the line's span, and how long it takes is said of all loads together.
  const parts = own.flatMap((step) => {
    if (step.kind === 'cool-last') return [];
    const words = BRIEFLY[step.kind] ?? stepWords(step.kind, planned);
    return step === first ? words : `${words} ${clockWords(step.startMs, zone)}`;
  });
  return `${spanWords(first.startMs, last.endMs, zone)}: Load ${load}. ${parts.join('; ')}.`;
}
