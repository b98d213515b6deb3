import type { ShownCaution } from '../chat/reply.js';
import { CAUTIONS, type Caution } from './cautions.js';
import { type Cook, forCook } from './local-figures.js';
import { conditionsMet, type Situation } from './occasion.js';
import { briefCitation } from './sources.js';

/**
 * Every caution that fits what somebody does, first the one that names most of it; of those that name as much the
 * gravest first.
 */
export function cautionsFor(situation: Situation): readonly Caution[] {
  return CAUTIONS.flatMap((caution) => {
    const named = namedOf(caution, situation);
    return named === undefined ? [] : [{ caution, named }];
  })
    .toSorted((one, other) => other.named - one.named)
    .map(({ caution }) => caution);
}

const namedOf = ({ occasions }: Caution, situation: Situation): number | undefined => {
  const fits = occasions.flatMap((occasion) => conditionsMet(occasion, situation) ?? []);
  return fits.length === 0 ? undefined : Math.max(...fits);
};

/**
 * The one caution for a reply. Where the same is done again and again, as batches are logged, `turn` goes round among
 * those that fit as well as the first.
 * Throws RangeError when nothing fits, which no activity allows.
 */
export function cautionFor(situation: Situation, turn = 0): Caution {
  const fitting = cautionsFor(situation);
  const [first] = fitting;
  if (first === undefined) throw new RangeError(`there is no caution for ${situation.activity}`);
  const equals = fitting.filter((one) => namedOf(one, situation) === namedOf(first, situation));
  return equals[turn % equals.length] ?? first;
}

/** As many as a reply has that tells all there is. */
const MOST_CAUTIONS = 3;

/** The one caution for a reply, and those that fit next best for one that tells all there is. */
export const cautionsShown = (situation: Situation, cook?: Cook) => ({
  caution: cautionShown(situation, cook),
  cautions: cautionsFor(situation)
    .slice(1, MOST_CAUTIONS)
    .map((caution) => shown(caution, cook)),
});

/** The one caution for a reply, with the figures of this cook. */
export const cautionShown = (situation: Situation, cook?: Cook, turn?: number): ShownCaution =>
  shown(cautionFor(situation, turn), cook);

/** A caution as a reply shows it: what to do, and the source of just that. */
export function shown({ id, short, sources: [source] }: Caution, cook?: Cook): ShownCaution {
  return { id, text: forCook(short, cook), source: source === undefined ? '' : briefCitation(source) };
}
