import type { Figures } from '../../src/chat/reply.js';
import { pouringMl } from '../../src/cooking/blends/tallow.js';
import { FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import { type CoolingPlan, PAN } from '../../src/cooking/cooling/cooling-plan.js';
import { renderFigures } from '../../src/kitchen/render.js';
import type { PlannedBatch } from './planned-batch.js';

/** The figures of a plan: those of its render, what is gathered for it, and its clock times. */
export function planFigures({ render, values, amounts, schedule, jars, jarMl, byMs }: PlannedBatch): Figures {
  const { wantedG, eachG, leastYield, tooWide } = amounts;
  const { timeline, cooling, heatUpMinutes } = schedule;
  return {
    ...renderFigures(render),
    wantedG: wantedG ?? null,
    wantedMl: wantedG === undefined ? null : pouringMl(wantedG),
    meals: values.meals ?? null,
    eachG: eachG ?? null,
    eachMl: eachG === undefined ? null : pouringMl(eachG),
    leastYield,
    tooWideYieldLow: tooWide?.low ?? null,
    tooWideYieldHigh: tooWide?.high ?? null,
    heatUpMinutes,
    jars,
    jarMl,
    startMs: timeline.startMs,
    finishMs: timeline.finishMs,
    byMs: byMs ?? null,
    ...(cooling === undefined ? {} : coolingFigures(cooling)),
    steps: timeline.steps.map((step) => ({
      load: step.load,
      startMs: step.startMs,
      endMs: step.endMs,
      byMs: step.byMs ?? null,
    })),
  };
}

function coolingFigures({ where, firstMinutes, lastMinutes, containers, depthCm }: CoolingPlan): Figures {
  return {
    coolFirstC: FOOD_CODE_COOLING.firstC,
    coolLastC: FOOD_CODE_COOLING.lastC,
    coolFirstMinutes: firstMinutes,
    coolLastMinutes: lastMinutes,
    containers,
    containerDepthCm: depthCm,
    ...(where === 'pot' ? {} : { panWidthCm: PAN.widthCm, panLengthCm: PAN.lengthCm }),
  };
}
