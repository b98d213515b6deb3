import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import { type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import type { Pictures } from '../pictures/pictures.js';
import { batchMarks } from '../records/batch-marks.js';
import type { Records } from '../records/database.js';
import { keptWhileUnchanged } from '../records/kept.js';
import type { ModelFactor } from '../records/model-sums.js';
import type { NoFit } from '../statistics/model/mixed-model.js';
import { type CommunityModel, communityModelOf, type Illustration } from './community-model.js';
import { type ComparedCovariate, compareCovariate, isInModel } from './compare-covariate.js';
import { compareLevels } from './compare-levels.js';
import { comparisonWorking } from './compare-working.js';
import { countFigures, leavesUntimedOut, untimedWords } from './model-words.js';
import { oddFigures } from './scope.js';

/** What yields can be compared by. */
export const COMPARED = ['method', 'cut', 'weight', 'time'] as const satisfies readonly Compared[];
export type Compared = ModelFactor | ComparedCovariate;

/** Action of the button that shows how a comparison came about; its argument is what was compared. */
export const COMPARISON_WORKING = 'yield.compare-working';

/** What the batches say, kept until they change: everybody who asks sees the same, and drawing it takes the longest of all. */
export function comparing(pictures: Pictures) {
  const kept = keptWhileUnchanged(async (db, name, by: Compared): Promise<Reply> => {
    const model = await communityModelOf(db, name);
    const failures: unknown[] = [];
    const described = await describeComparison(by, model, {
      marksOf: () => marksIn(db, name, model),
      pictures,
      missed: (error) => failures.push(error),
    });
    if (model.fit.kind === 'none')
      return { ...described, lines: [...described.lines, ...(HINTS[model.fit.because] ?? [])] };
    if (described.picture === undefined && failures.length === 0) return described;
    const actions = [button('Show the working', actionId(COMPARISON_WORKING, by))];
    if (failures.length > 0) throw new WithoutPicture({ ...described, actions }, failures[0]);
    return { ...described, actions };
  });
  return async (db: Records, by: Compared, { community, missed }: Call): Promise<Reply> => {
    try {
      return await kept(db, community, by);
    } catch (error) {
      if (!(error instanceof WithoutPicture)) throw error;
      missed(error.cause);
      return error.answer;
    }
  };
}

/** Thrown, so that an answer whose picture could not be drawn is not kept. */
class WithoutPicture extends Error {
  constructor(
    readonly answer: Reply,
    cause: unknown,
  ) {
    super('a picture could not be drawn', { cause });
  }
}

/** The newest batches that the model rests on, as marks. */
async function marksIn(db: Records, name: string, { community, scope }: CommunityModel) {
  const marks = await batchMarks(db, name, scope.filter);
  return leavesUntimedOut(community) ? marks.filter(({ minutes }) => minutes !== null) : marks;
}

/** How a comparison came about, from the batches as they are when it is asked. */
export async function showComparisonWorking(
  db: Records,
  name: string,
  by: Compared,
): Promise<Reply | Refusal> {
  const model = await communityModelOf(db, name);
  const { community, fit } = model;
  const isCovariate = by === 'weight' || by === 'time';
  if (fit.kind === 'none' || (isCovariate && !isInModel(by, community)))
    return refusal('There is nothing to work out', 'Ask again with /yield compare.');
  return comparisonWorking(by, { ...model, fit }, await marksIn(db, name, model));
}

/** A comparison of some batches, with a picture. */
export async function describeComparison(
  by: Compared,
  model: CommunityModel,
  drawing: Illustration,
): Promise<Reply> {
  const { community, scope, fit } = model;
  if (fit.kind === 'none')
    return reply({
      title: 'Nothing to compare yet',
      lines: [[NO_FIT_WORDS[fit.because], ...untimedWords(community)].join(' '), ...scope.lines],
      figures: { ...countFigures(community), ...oddFigures(scope) },
    });
  return by === 'method' || by === 'cut'
    ? compareLevels(by, { ...model, fit }, drawing)
    : compareCovariate(by, { ...model, fit }, drawing);
}

const NO_FIT_WORDS: Readonly<Record<NoFit, string>> = {
  'no-batches': 'Nothing is logged yet.',
  'no-residual-df': 'There are too few batches for a comparison yet.',
  'no-spread':
    'Every batch gave what the others like it gave, so nothing shows how uncertain a difference is.',
  'no-spread-within-members':
    'Each cook got the same every time, so nothing shows how uncertain a difference is.',
};

/** What to do about it; a table that is analysed outside any community has no such commands. */
const HINTS: Readonly<Partial<Record<NoFit, readonly string[]>>> = {
  'no-batches': ['The first /batch log starts it.'],
  'no-residual-df': ['/batch list shows them.'],
};
