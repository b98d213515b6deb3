import type { ShownCaution } from '../chat/reply.js';
import { type Caution, cautionsFor, type Situation } from './cautions.js';
import { briefCitation, weightiestFirst } from './sources.js';

/** What a reply shows of the cautions that fit what is being done: three at most, the gravest first. */
export function shownCautions(situation: Situation): readonly ShownCaution[] {
  return cautionsFor(situation).map(shownCaution);
}

export function shownCaution({ id, short, sources }: Caution): ShownCaution {
  const [weightiest] = weightiestFirst(sources);
  return { id, text: short, source: weightiest === undefined ? '' : briefCitation(weightiest) };
}
