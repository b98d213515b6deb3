import type { Call } from '../../src/chat/call.js';
import type { Outcome } from '../../src/chat/command.js';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import { plausibilityOf } from '../../src/cooking/blends/tallow.js';
import type { Batch, BatchFacts } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { findTwin } from '../../src/records/twins.js';
import { percentWords, weightWords } from '../../src/words/amount-words.js';
import { askWhetherRight } from './doubtful-weights.js';
import { yieldOf } from './figures.js';
import { keep } from './keeping.js';
import { layAside, type Weighed } from './laid-aside.js';
import { askWhetherAnother } from './twin.js';

/**
 * Refuses what no fat can give, asks about what trimmings rarely give, much or little, keeps the rest. Weights that a batch had
 * `before` were asked about then.
 */
export async function weigh(
  db: Records,
  facts: BatchFacts,
  before: Batch | undefined,
  call: Call,
): Promise<Outcome> {
  const weighed = { number: before?.number, facts, found: before };
  if (before && before.fatG === facts.fatG && before.tallowG === facts.tallowG)
    return keep(db, weighed, call);
  switch (plausibilityOf(facts.fatG, facts.tallowG)) {
    case 'impossible':
    case 'not positive':
      return refuseImpossible(facts);
    case 'plausible':
      return keep(db, weighed, call);
    case 'unlikely':
    case 'scant':
      return (await askAboutTwin(db, weighed, call)) ?? askWhetherRight(db, weighed, call);
  }
}

/** Doubtful weights that were kept a moment ago are not asked about a second time, only whether this is another batch. */
async function askAboutTwin(db: Records, weighed: Weighed, call: Call): Promise<Outcome | undefined> {
  const { facts, number } = weighed;
  if (number !== undefined) return undefined;
  const like = { ...facts, community: call.community, memberId: call.member.id };
  const twin = await findTwin(db, like, call.now);
  return twin && askWhetherAnother(twin, facts, await layAside(db, weighed, call), call.now);
}

function refuseImpossible(facts: BatchFacts): Refusal {
  return refusal(
    'More tallow than fat can hold',
    `${weightWords(facts.tallowG)} of tallow from ${weightWords(facts.fatG)} of fat would be ${percentWords(yieldOf(facts))}; no raw fat holds more than about 94 %. Weigh the raw fat before rendering and the tallow after drying, then log both.`,
  );
}
