/** The tastings of a community, and what those of the same question say together. */
import type { Call } from '../chat/call.js';
import { type Reply, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { closedTastings, newestTastings, type Tasting } from '../records/tastings.js';
import type { RandomBelow } from '../statistics/sensory/randomness.js';
import { countWords } from '../words/lists.js';
import { kitchensDiffer, type PooledQuestion, pooledFigures, pooledQuestions } from './pooling.js';
import { questionWords } from './questions.js';
import { assessorsIn, readCounts, showsDifference } from './reading.js';
import { resultWords } from './result-words.js';

const MOST_LISTED = 10;
/** Older ones are not pooled any more: more than a community tastes in years. */
export const MOST_POOLED = 500;
const MOST_QUESTIONS = 2;

export async function list(db: Records, random: RandomBelow, call: Call): Promise<Reply> {
  // what was closed at this very moment belongs to it
  const until = new Date(call.now.getTime() + 1);
  const [newest, closed] = await Promise.all([
    newestTastings(db, call.community, MOST_LISTED),
    closedTastings(db, call.community, until, MOST_POOLED),
  ]);
  if (newest.length === 0)
    return reply({
      title: 'No tastings yet',
      lines: ['Open the first: /tasting open.'],
      figures: { tastings: 0, open: 0 },
    });
  const pooled = pooledQuestions(closed, random);
  const open = newest.filter((one) => !one.closed);
  return reply({
    title: `${countWords(newest[0]?.number ?? 0, 'tasting', 'tastings')}, ${open.length} open`,
    lines: [
      ...pooled.slice(0, MOST_QUESTIONS).map(pooledWords),
      open.length > 0 ? 'Take part: /tasting taste. ' : 'One of them: /tasting result.',
    ].map((line) => line.trim()),
    table: {
      columns: [
        { title: 'No.', align: 'right' },
        { title: 'Question', align: 'left' },
        { title: 'Result', align: 'left' },
      ],
      rows: newest.map((one) => [String(one.number), shortQuestion(one), shortResult(one)]),
    },
    figures: {
      tastings: newest[0]?.number ?? 0,
      open: open.length,
      pooled: pooled.map(pooledFigures),
    },
  });
}

/** "2 tastings, is there a difference …? 30 of 60 picked the odd one …" */
export function pooledWords({ plan, numbers, reading, kitchens }: PooledQuestion): string {
  const { verdict } = resultWords(plan, reading);
  const apart = kitchensDiffer(kitchens)
    ? ' The kitchens differ, so ask why before you trust the sum.'
    : kitchens.kind === 'compared'
      ? ' The kitchens agree as far as can be told.'
      : '';
  return `${numbers.length} blind tastings together: ${questionWords(plan)} ${verdict}${apart}`;
}

const MOST_SHORT = 24;

function shortQuestion(tasting: Tasting): string {
  const words =
    tasting.quality === undefined
      ? questionWords(tasting).replace('Is there a difference between ', '').replace('?', '')
      : `more ${tasting.quality}?`;
  const characters = [...words];
  return characters.length <= MOST_SHORT ? words : `${characters.slice(0, MOST_SHORT - 1).join('')}…`;
}

function shortResult(tasting: Tasting): string {
  if (!tasting.closed) return 'open';
  const { counts } = tasting.closed;
  const assessors = assessorsIn(counts);
  if (assessors === 0) return 'no answers';
  const found = showsDifference(readCounts(tasting, counts)) ? 'differ' : 'no sign';
  return counts.kind === 'triangle' ? `${found}, ${counts.correct}/${assessors}` : `${found}, ${assessors}`;
}
