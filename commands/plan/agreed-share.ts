import type { Call } from '../../src/chat/call.js';
import { type ExpectedShare, expectedShareFor } from '../../src/findings/expected-share.js';
import { ASSUMED } from '../../src/kitchen/render.js';
import type { Records } from '../../src/records/database.js';
import { type Amounts, amountsOf } from './amounts.js';
import type { PlanValues } from './options.js';

const MOST_ROUNDS = 6;
/** Fat is not weighed finer at home. */
const CLOSE_ENOUGH = 0.005;

/** The share to expect of the fat; where that is itself reckoned from the share, both are brought to agree. */
export async function agreedShare(
  db: Records,
  call: Call,
  values: PlanValues,
  { fatG }: Amounts,
): Promise<ExpectedShare | undefined> {
  const { method = ASSUMED.method, cut = ASSUMED.cut, minutes, kind: rawFat } = values;
  let reckonedG = fatG;
  for (let round = 1; ; round++) {
    const share = await expectedShareFor(db, call, { method, cut, minutes, rawFat, fatG: reckonedG });
    const amounts = amountsOf(values, share);
    if ('text' in amounts || round === MOST_ROUNDS) return share;
    if (Math.abs(amounts.fatG / reckonedG - 1) <= CLOSE_ENOUGH) return share;
    reckonedG = amounts.fatG;
  }
}
