import { briefCitation, type SourceId, sourceOf, weightiestFirst } from './sources.js';

const MOST_PUBLISHED = 2;

/**
 * What a reply names at its foot: that some of it is only common practice, if so, and the weightiest published sources.
 * The working names them all.
 */
export function sourceLines(ids: readonly SourceId[]): readonly string[] {
  const isPractice = (id: SourceId) => sourceOf(id).known === 'common practice, no source';
  const practice = ids.some(isPractice) ? ['common practice, no source'] : [];
  const published = weightiestFirst(ids.filter((id) => !isPractice(id)));
  return [...practice, ...new Set(published.slice(0, MOST_PUBLISHED).map(briefCitation))];
}

/** Every source, for where all of it is asked for. */
export function allSourceLines(ids: readonly SourceId[]): readonly string[] {
  return [...new Set(weightiestFirst(ids).map(briefCitation))];
}
