import type { ValuesOf } from '../../src/chat/option.js';
import { choice, timeZone, wholeNumber, words, yesOrNo } from '../../src/chat/options.js';
import { SMOKE_STRENGTHS } from '../../src/cooking/blends/smoke.js';
import * as option from '../../src/kitchen/options.js';
import { RENDER_OPTIONS } from '../../src/kitchen/render.js';

/** What can be said of a plan: exactly one of fat, tallow and meals, and anything of the rest. */
export const PLAN_OPTIONS = {
  fat: option.fatWeight(false),
  tallow: option.tallowAmount(false, 'Tallow you want, by weight or volume, instead of fat'),
  meals: wholeNumber({
    description: 'Meals you want tallow for, instead of fat',
    required: false,
    least: 1,
    most: 10_000,
    example: '30',
  }),
  each: option.amount({
    description: 'Tallow for each meal; a tablespoon unless said',
    required: false,
    example: '2 tbsp',
  }),
  by: words({
    description: 'When it must be ready',
    required: false,
    maxLength: 60,
    example: 'Saturday 6pm',
  }),
  frozen: yesOrNo({ description: 'Whether the fat is frozen', required: false }),
  smoke: choice({
    description: 'Smoke the tallow before it is jarred',
    required: false,
    choices: SMOKE_STRENGTHS.map((value) => ({
      value,
      label: `${value.charAt(0).toUpperCase()}${value.slice(1)}`,
    })),
  }),
  jar: option.jarVolume(),
  zone: timeZone({ description: 'Your time zone, by the name of a large city', required: false }),
  ...RENDER_OPTIONS,
} as const;

export type PlanValues = ValuesOf<typeof PLAN_OPTIONS>;
