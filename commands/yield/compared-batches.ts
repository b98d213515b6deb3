import type { Figures } from '../../src/chat/reply.js';
import type { CommunitySums } from '../../src/records/model-sums.js';
import { countWords } from '../shared/words.js';

/** "34 batches, 12 members." */
export const countsWords = ({ sums, members }: CommunitySums): string =>
  `${countWords(sums.total.batches, 'batch', 'batches')}, ${countWords(members, 'member', 'members')}.`;

export const countFigures = ({ sums, members, withoutTime }: CommunitySums): Figures => ({
  batches: sums.total.batches,
  members,
  withoutTime,
});
