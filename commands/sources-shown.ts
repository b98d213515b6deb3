import { citation, type SourceId, sourceOf } from '../src/trade/sources.js';

/** What a reply names at its foot: each source once; everything that is only common practice in one word. */
export function sourceLines(ids: readonly SourceId[]): readonly string[] {
  const once = [...new Set(ids)];
  const published = once.filter((id) => sourceOf(id).known !== 'common practice, no source');
  const practice = published.length < once.length ? ['common practice, no source'] : [];
  return [...practice, ...published.map(citation)];
}
