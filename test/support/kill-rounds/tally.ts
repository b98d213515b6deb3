import type { Interaction } from '../chat-server/interactions.js';
import { seenOf, textOf } from '../chat-server/seen.js';
import type { World } from '../chat-server/world.js';
import type { Kind } from './cooks.js';
import type { Row, Stored } from './stored.js';

/** What an answer said of what was to be saved; nothing where none came, or only a waiting notice. */
export type Said = 'saved' | 'saved before' | 'asked as a twin' | 'not saved' | 'nothing' | 'unclear';

/** One sending of a deed. */
export interface Attempt {
  readonly deed: number;
  readonly kind: Kind;
  readonly said: Said;
  /** Whether the deed was stored when it was sent, and once the process was dead. */
  readonly storedBefore: boolean;
  readonly storedAfter: boolean;
  readonly isRepeat: boolean;
}

/** Sums over all rounds so far. */
export interface Tally {
  readonly sent: number;
  readonly acknowledged: number;
  readonly stored: number;
  /** Stored, and nobody was told: the process died in between. */
  readonly unheard: number;
  /** Sent again by a person who had heard nothing. */
  readonly repeated: number;
  /** Of these, what was stored before and was answered; and how. */
  readonly repeatedThoughStored: number;
  readonly askedAsTwins: number;
  readonly toldSavedBefore: number;
  readonly savedOverItself: number;
  readonly wrong: Wrong;
}

/** What must not be. */
export interface Wrong {
  /** Deeds of which an answer said that they are saved, and which are not there. */
  readonly lost: number;
  /** Requests that stored more than one thing. */
  readonly twiceByOneRequest: number;
  /** Deeds that are there more than once. */
  readonly doubled: number;
  readonly storedThoughDenied: number;
  /** Sent again though it was stored, and answered as if it were not. */
  readonly unrecognised: number;
  readonly half: number;
  readonly numberGaps: number;
  readonly unclearAnswers: number;
}

/** The first that fits, by the words that come out. */
const SAYS: readonly (readonly [RegExp, Said])[] = [
  [/^Looks like batch .* Log it again\?/, 'asked as a twin'],
  [/^Batch \d+ (is kept already|stays as it is)/, 'saved before'],
  [/Nothing was saved/, 'not saved'],
  [/^Batch \d+(: | is corrected| is saved)|^Your kit (now|is saved)/, 'saved'],
];

export function saidBy(interaction: Interaction, world: World): Said {
  const seen = seenOf(interaction);
  if (seen.kind === 'nothing' || seen.kind === 'thinking') return 'nothing';
  const text = seen.kind === 'messages' ? seen.messages.map((one) => textOf(one, world)).join('\n') : '';
  return SAYS.find(([pattern]) => pattern.test(text))?.[1] ?? 'unclear';
}

const DENIALS: readonly Said[] = ['not saved', 'saved before', 'asked as a twin'];

/** By this sending, not by one before. */
export const isStored = ({ storedBefore, storedAfter }: Attempt) => storedAfter && !storedBefore;
const isKnown = ({ isRepeat, storedBefore, said }: Attempt) => isRepeat && storedBefore && said !== 'nothing';
/** A vessel is told by its name: saving it again is no news and does no harm. */
const isAsIfNew = ({ kind, said }: Attempt) =>
  said === 'not saved' || (said === 'saved' && kind !== '/kit add');

export function tallyOf(attempts: readonly Attempt[], stored: Stored): Tally {
  const count = (is: (one: Attempt) => boolean) => attempts.filter(is).length;
  return {
    sent: attempts.length,
    acknowledged: count(({ said }) => said === 'saved'),
    stored: count(isStored),
    unheard: count((one) => isStored(one) && one.said === 'nothing'),
    repeated: count(({ isRepeat }) => isRepeat),
    repeatedThoughStored: count(isKnown),
    askedAsTwins: count((one) => isKnown(one) && one.said === 'asked as a twin'),
    toldSavedBefore: count((one) => isKnown(one) && one.said === 'saved before'),
    savedOverItself: count((one) => isKnown(one) && one.said === 'saved' && one.kind === '/kit add'),
    wrong: {
      lost: lostDeeds(attempts, stored.rows).size,
      twiceByOneRequest: more(stored.rows.flatMap(({ request }) => request ?? [])),
      doubled: more(stored.rows.map(({ deed }) => deed)),
      storedThoughDenied: count((one) => isStored(one) && DENIALS.includes(one.said)),
      unrecognised: count((one) => isKnown(one) && isAsIfNew(one)),
      half: stored.halves,
      numberGaps: gapsIn(stored),
      unclearAnswers: count(({ said }) => said === 'unclear'),
    },
  };
}

export const isAllRight = ({ wrong }: Tally): boolean => Object.values(wrong).every((count) => count === 0);

const PROMISES: readonly Said[] = ['saved', 'saved before', 'asked as a twin'];

function lostDeeds(attempts: readonly Attempt[], rows: readonly Row[]): ReadonlySet<number> {
  const there = new Set(rows.map(({ deed }) => deed));
  const promised = attempts.filter(({ said }) => PROMISES.includes(said));
  return new Set(promised.map(({ deed }) => deed).filter((deed) => !there.has(deed)));
}

/** How many there are beyond one of each. */
const more = (values: readonly unknown[]): number => values.length - new Set(values).size;

/** Places where the numbers do not go on by one, from 1 to the last that was given out. */
function gapsIn({ numbers, lastNumber }: Stored): number {
  return [...numbers, lastNumber + 1].filter((number, at, all) => number !== (all[at - 1] ?? 0) + 1).length;
}

/** When a round's kill came: before anything was stored, after all was answered, or in between. */
export type Moment = 'before' | 'between' | 'after';

export function momentOf(round: readonly Attempt[]): Moment {
  if (!round.some(({ said }) => said === 'nothing')) return 'after';
  return round.some((one) => isStored(one) || one.said !== 'nothing') ? 'between' : 'before';
}
