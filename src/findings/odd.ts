import { type Figures, type Reply, reply } from '../chat/reply.js';
import { IMPOSSIBLE_YIELD } from '../cooking/blends/tallow.js';
import type { Records } from '../records/database.js';
import { MOST_JUDGED, type NumberedOddity } from '../records/odd-batches.js';
import { pooledSums } from '../records/pooled-sums.js';
import { LEAST_FOR_OWN_SPREAD } from '../statistics/questions/modified-z.js';
import { countWords } from '../words/lists.js';
import { cutLabel, isCut, isMethod, methodLabel } from '../words/methods.js';
import { finePercentWords, finePointsWords, percentWords } from '../words/yield-words.js';
import { oddBatchesOf } from './scope.js';

const MOST_SHOWN = 10;

/** Batches that are probably typing errors or wet discs. */
export async function odd(db: Records, community: string): Promise<Reply> {
  const { found, counted } = await oddBatchesOf(db, community);
  if (found.kind === 'too-many') {
    return reply({
      title: 'Too many batches to look at one by one',
      lines: [`Odd batches are looked for among ${MOST_JUDGED} at most; all are counted here.`],
      figures: { oddBatches: null, odd: [] },
    });
  }
  const batches = found.odd;
  const figures = { oddBatches: batches.length, odd: batches.map(figuresOf) };
  if (batches.length === 0) return describeNoneOdd(await pooledSums(db, community, {}), figures);
  const more = batches.length - MOST_SHOWN;
  return reply({
    title: countWords(batches.length, 'odd batch', 'odd batches'),
    lines: [
      ...batches.slice(0, MOST_SHOWN).map(oddWords),
      ...(more > 0 ? [`And ${more} more.`] : []),
      `${batches.length === 1 ? 'It is' : 'They are'} ${counted ? 'counted in' : 'left out of'} the community’s figures; who manages the community can change that with /settings odd-batches. A wrong weight is put right with /batch correct.`,
    ],
    sources: [
      'Modified z of what each batch differs from its cook’s own, within its method (Iglewicz and Hoaglin 1993)',
    ],
    figures,
  });
}

/** None is odd: because all are alike, or because there is too little to tell. */
function describeNoneOdd(cooks: readonly { readonly batches: number }[], figures: Figures): Reply {
  const total = cooks.reduce((sum, { batches }) => sum + batches, 0);
  if (total === 0)
    return reply({ title: 'No batches yet', lines: ['Log the first one with /batch log.'], figures });
  // A cook's only batch cannot differ from the cook's others.
  if (total - cooks.length < LEAST_FOR_OWN_SPREAD)
    return reply({
      title: 'Too few batches to tell',
      lines: [
        `${countWords(total, 'batch', 'batches')} from ${countWords(cooks.length, 'member', 'members')}: what each usually gets is not known yet. A few more from the same cooks, and odd ones stand out.`,
      ],
      figures,
    });
  return reply({
    title: 'No odd batches',
    lines: ['Every batch is near what its cook usually gets, method, cut, weight and time allowed for.'],
    figures,
  });
}

function oddWords({ number, method, cut, fatG, tallowG, oddity }: NumberedOddity): string {
  const kind = [
    isMethod(method) ? methodLabel(method) : method,
    isCut(cut) ? cutLabel(cut).toLowerCase() : cut,
  ];
  const gave = `#${number} (${kind.join(', ')}): ${finePercentWords(tallowG / fatG)}`;
  switch (oddity.kind) {
    case 'nothing-rendered':
      return `${gave}, no tallow at all.`;
    case 'more-than-the-fat-holds':
      return `${gave}, more than any raw fat holds (${percentWords(IMPOSSIBLE_YIELD)}).`;
    case 'far-from-own':
      return `${gave}, ${finePointsWords(oddity.residual)} ${oddity.residual > 0 ? 'above' : 'below'} what was to be expected of this cook.`;
  }
}

function figuresOf({ number, fatG, tallowG, oddity }: NumberedOddity) {
  return {
    number,
    fatG,
    tallowG,
    modifiedZ: oddity.kind === 'far-from-own' ? oddity.z : null,
    residualYield: oddity.kind === 'far-from-own' ? oddity.residual : null,
  };
}
