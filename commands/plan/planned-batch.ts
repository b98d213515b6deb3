import { refuseUnreadable } from '../../src/chat/command.js';
import { parseOptions } from '../../src/chat/option.js';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import { readMomentAhead } from '../../src/chat/when.js';
import { jarsFor } from '../../src/cooking/blends/tallow.js';
import { LEAST_RENDER_MINUTES } from '../../src/cooking/water/water.js';
import { type Asked, optionsIn } from '../../src/kitchen/asked.js';
import { type Render, renderOf } from '../../src/kitchen/render.js';
import { minutesWords } from '../../src/words/amount-words.js';
import { ML_PER_US_PINT } from '../../src/words/units.js';
import { type Amounts, amountsOf } from './amounts.js';
import { PLAN_OPTIONS, type PlanValues } from './options.js';
import { type Schedule, scheduleOf } from './schedule.js';

/** A batch worked out from beginning to end: all that an answer and its working tell of it. */
export interface PlannedBatch {
  readonly kind: 'planned';
  readonly asked: Asked;
  readonly values: PlanValues;
  readonly amounts: Amounts;
  readonly render: Render;
  readonly schedule: Schedule;
  readonly frozen: boolean;
  /** Of one jar. */
  readonly jarMl: number;
  /** Enough for the most tallow to expect. */
  readonly jars: number;
  readonly nowMs: number;
  /** When it must be ready; undefined where nothing was said of it. */
  readonly byMs: number | undefined;
  /** IANA. */
  readonly zone: string;
}

/** Works out a batch as it was asked for, or refuses what cannot be read, cooked or done by then. */
export function plannedBatch(asked: Asked, nowMs: number, communityTimeZone: string): PlannedBatch | Refusal {
  const read = parseOptions(PLAN_OPTIONS, optionsIn(asked));
  if (!read.ok) return refuseUnreadable(read.problems);
  const { values } = read;
  const { unit, minutes, frozen = false, smoke, jar: jarMl = ML_PER_US_PINT } = values;
  const { zone = communityTimeZone } = values;
  const amounts = amountsOf(values, asked.share);
  if ('text' in amounts) return amounts;
  const by = values.by === undefined ? undefined : readMomentAhead(values.by, new Date(nowMs), zone);
  if (by?.ok === false) return refuseUnreadable([`by: ${by.problem}`]);
  const byMs = by?.value.getTime();
  if (minutes !== undefined && minutes < LEAST_RENDER_MINUTES) return refuseTooShort(minutes);

  const { fatG, share } = amounts;
  const render = renderOf({ fatG, values, measured: asked.measured, share });
  if (render.kind === 'refusal') return render;
  const schedule = scheduleOf({ render, frozen, smoke, nowMs, byMs, zone, unit });
  if (schedule.kind === 'refusal') return schedule;

  const jars = jarsFor({ tallowG: render.tallow.tallowHighG, jarMl });
  const timing = { schedule, nowMs, byMs, zone };
  return { kind: 'planned', asked, values, amounts, render, frozen, jarMl, jars, ...timing };
}

function refuseTooShort(minutes: number): Refusal {
  return refusal(
    'Too short a render',
    `${minutesWords(LEAST_RENDER_MINUTES)} is the least; ${minutesWords(minutes)} leaves tallow in the fat. Leave minutes out, or say more.`,
  );
}
