/** The tastings of a week, for the weekly post. */
import type { Records } from '../records/database.js';
import { closedTastings, type Tasting } from '../records/tastings.js';
import type { RandomBelow } from '../statistics/sensory/randomness.js';
import { MOST_POOLED, pooledWords } from './list.js';
import { pooledQuestions } from './pooling.js';
import { questionKey, questionWords } from './questions.js';
import { assessorsIn, readCounts } from './reading.js';
import { resultWords } from './result-words.js';

/** One question is told, so that the post stays short. */
const MOST_TOLD = 1;

/** What tastings that were closed from `from` until before `until` found, those of the same question as one. */
export async function tastingsOfWeek(
  db: Records,
  community: string,
  { from, until }: { readonly from: Date; readonly until: Date },
  random: RandomBelow,
): Promise<readonly string[]> {
  const closed = await closedTastings(db, community, until, MOST_POOLED);
  const news = closed.filter(({ closed: shut }) => shut && shut.at >= from && assessorsIn(shut.counts) > 0);
  const asked = new Map(news.map((tasting) => [questionKey(tasting), tasting]));
  const pooled = new Map(pooledQuestions(closed, random).map((one) => [questionKey(one.plan), one]));
  const lines = [...asked].map(([key, tasting]) => {
    const several = pooled.get(key);
    return several ? pooledWords(several) : `Blind tasting ${tasting.number}: ${foundWords(tasting)}`;
  });
  const rest = lines.length - MOST_TOLD;
  return [...lines.slice(0, MOST_TOLD), ...(rest > 0 ? [`More tasted this week: /tasting list.`] : [])];
}

function foundWords(tasting: Tasting): string {
  if (!tasting.closed) return '';
  const { verdict } = resultWords(tasting, readCounts(tasting, tasting.closed.counts));
  return `${questionWords(tasting)} ${verdict}`;
}
