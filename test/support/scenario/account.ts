/** What one interaction came to for whoever asked, once all was calm. */
export interface Came {
  /** What happened when it was asked. */
  readonly during: string;
  /** What was asked and when, for whoever looks for the reason. */
  readonly what: string;
  /** By what it is known in the records, where it asks for something to be stored; several may ask for the same. */
  readonly mark: string | undefined;
  /** The texts of the answers that stand there in the end. */
  readonly answers: readonly string[];
  /**
   * Why it may have no answer: its process was killed while it was under way, or nobody was there to hear of it; or the
   * answer came later than Discord takes one, which on a busy machine says nothing.
   */
  readonly excuse: 'cutOff' | 'late' | undefined;
}

export interface Tally {
  asked: number;
  answered: number;
  refused: number;
  unsure: number;
  cutOff: number;
  late: number;
  lost: number;
  doubled: number;
  untrue: number;
}

const NOTHING: Tally = {
  asked: 0,
  answered: 0,
  refused: 0,
  unsure: 0,
  cutOff: 0,
  late: 0,
  lost: 0,
  doubled: 0,
  untrue: 0,
};

export interface Account {
  /** By what happened meanwhile. */
  readonly tallies: ReadonlyMap<string, Tally>;
  /** Whatever must not be, in words. */
  readonly wrongs: readonly string[];
}

/**
 * Holds what people were told against what was stored. `copies` says how often each mark is in the records. Whatever was
 * asked has one answer, or none where there is an excuse. What was called saved is there once; what was not is there at
 * most once, and only where that was said to be unsure or nothing was said.
 */
export function accountOf(came: readonly Came[], copies: ReadonlyMap<string, number>): Account {
  const tallies = new Map<string, Tally>();
  const wrongs: string[] = [];
  const tallyOf = (during: string): Tally => {
    const tally = tallies.get(during) ?? { ...NOTHING };
    tallies.set(during, tally);
    return tally;
  };
  const wrong = (during: string, kind: 'lost' | 'doubled' | 'untrue', words: string): void => {
    tallyOf(during)[kind]++;
    wrongs.push(`${during}: ${words}`);
  };

  for (const { during, what, answers, excuse } of came) {
    const tally = tallyOf(during);
    tally.asked++;
    const [text, ...more] = answers;
    if (more.length > 0)
      wrong(during, 'doubled', `${what} was answered ${answers.length} times: ${answers.join(' | ')}`);
    if (text !== undefined) tally[COUNTED[meaningOf(text)]]++;
    else if (excuse) tally[excuse]++;
    else wrong(during, 'lost', `${what} was never answered`);
  }
  for (const [mark, askedFor] of byMark(came)) {
    const stored = copies.get(mark) ?? 0;
    const during = askedFor[0]?.during ?? '';
    const told = askedFor.flatMap(({ answers }) => answers);
    const meant = told.map(meaningOf);
    const mayBeThere = meant.includes('unsure') || askedFor.some(({ answers }) => answers.length === 0);
    const words = `${askedFor.map(({ what }) => what).join(', ')}: ${told.join(' | ')}`;
    if (stored > 1) wrong(during, 'doubled', `stored ${stored} times, ${words}`);
    else if (stored === 0 && meant.includes('saved')) wrong(during, 'lost', `not stored, ${words}`);
    else if (stored === 1 && !meant.includes('saved') && !mayBeThere)
      wrong(during, 'untrue', `stored all the same, ${words}`);
  }
  return { tallies, wrongs };
}

type Meaning = 'saved' | 'refused' | 'unsure' | 'other';

const COUNTED = { saved: 'answered', other: 'answered', refused: 'refused', unsure: 'unsure' } as const;

/** In the words of `src/chat/fault.ts`, of a face that cannot show an answer, and of the commands that people use here. */
function meaningOf(text: string): Meaning {
  if (text.includes('It is not sure that this was saved')) return 'unsure';
  if (/^Batch \d+(: | is (saved|corrected|kept already))/m.test(text)) return 'saved';
  const isRefused =
    /Nothing was saved|Busy just now|out of reach|Nothing can be saved|went wrong on our side/;
  return isRefused.test(text) || text.startsWith('Restarting') ? 'refused' : 'other';
}

function byMark(came: readonly Came[]): ReadonlyMap<string, readonly Came[]> {
  const marked = new Map<string, Came[]>();
  for (const one of came)
    if (one.mark !== undefined) marked.set(one.mark, [...(marked.get(one.mark) ?? []), one]);
  return marked;
}
