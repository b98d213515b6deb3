/** Opening a tasting: what it asks, and what so many tasters can show. */

import { findBatch } from '../batches/find.js';
import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import type { Outcome } from '../chat/command.js';
import type { ValuesOf } from '../chat/option.js';
import { refusal, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { openTasting, type Product, type TastingPlan } from '../records/tastings.js';
import { cautionShown } from '../safety/choose.js';
import type { RandomBelow } from '../statistics/sensory/randomness.js';
import { countWords } from '../words/lists.js';
import { dealSeats } from './deal.js';
import { SERVE, TASTE } from './names.js';
import { type OPENING, whyUnfit } from './options.js';
import { matterWords, powerOf, tastersFor } from './planning.js';
import { productName, questionWords } from './questions.js';

const USUAL_MATTER = { share: 0.3 } as const;
/** Below this chance a tasting that shows nothing says next to nothing: a choice of ours. */
const TOO_LITTLE = 0.5;

export async function open(
  db: Records,
  random: RandomBelow,
  said: ValuesOf<typeof OPENING>,
  call: Call,
): Promise<Outcome> {
  const { kind, compare: products, tasters: planned, quality, expected } = said;
  const unfit = whyUnfit(kind, products.length, { quality, expected });
  if (unfit !== undefined) return refusal('That does not fit together', unfit);
  const missing = await missingBatch(db, products, call);
  if (missing !== undefined)
    return refusal(
      'No such batch',
      `There is no ${productName(missing)} here. /batch list shows the newest.`,
    );
  const plan: TastingPlan = {
    kind,
    products,
    planned,
    quality,
    expected: expected === undefined ? undefined : expected === 'first' ? 0 : 1,
    matters: said.difference ?? USUAL_MATTER,
  };
  const seats = dealSeats({ kind, products: products.length, planned }, random);
  const number = await openTasting(db, call, plan, seats);
  call.saved(`Tasting ${number} is open`);
  return describeOpened(number, plan);
}

async function missingBatch(
  db: Records,
  products: readonly Product[],
  call: Call,
): Promise<Product | undefined> {
  for (const product of products)
    if ('batch' in product && !(await findBatch(db, call.community, product.batch))) return product;
  return undefined;
}

function describeOpened(number: number, plan: TastingPlan) {
  const power = powerOf(plan, plan.planned);
  const enough = tastersFor(plan);
  return reply({
    title: `Tasting ${number}: ${questionWords(plan)}`,
    lines: [chanceWords(plan, power, enough), 'Only who serves knows what is where.'],
    caution: cautionShown({ activity: 'taste' }),
    actions: [button('I taste', actionId(TASTE, number), 'main'), button('I serve', actionId(SERVE, number))],
    figures: {
      tasting: number,
      assessors: plan.planned,
      products: plan.products.length,
      power,
      assessorsForPower: enough ?? null,
    },
  });
}

function chanceWords(plan: TastingPlan, power: number, enough: number | undefined): string {
  const { planned, matters } = plan;
  const more = enough === undefined ? 'Not even 1000 would do.' : `${enough} show it 80 times.`;
  const tasters = countWords(planned, 'taster', 'tasters');
  if (power === 0)
    return `${tasters} can show nothing, whatever they answer. If ${matterWords(matters)}, ${more}`;
  const chance = `If ${matterWords(matters)}, ${tasters} show it ${Math.round(power * 100)} times in 100`;
  if (enough !== undefined && planned >= enough) return `${chance}.`;
  return `${chance}${power < TOO_LITTLE ? ': too few' : ''}. ${more}`;
}
