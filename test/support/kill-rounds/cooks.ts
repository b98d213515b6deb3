import type { Answer, Member } from '../chat-server/member.js';
import type { Random } from '../hostile/random.js';

export const KINDS = ['/batch log', '“Keep it”', '/batch correct', 'its form', '/kit add'] as const;
export type Kind = (typeof KINDS)[number];

/** Somebody who saves one thing after another. */
export interface Cook {
  readonly member: Member;
  /** A batch of theirs to correct. */
  batch: number | undefined;
  vessels: number;
  /** What they have heard nothing of, and send again. */
  unheard: Deed | undefined;
}

/** One thing that somebody wants to have saved once, however often they send it. */
export interface Deed {
  /** Its number among all of them, which is in what is stored of it. */
  readonly id: number;
  readonly kind: Kind;
  readonly cook: Cook;
  send(): Promise<Answer>;
}

export const newCook = (member: Member): Cook => ({
  member,
  batch: undefined,
  vessels: 0,
  unheard: undefined,
});

/** What the batch of a deed weighs, by which it is found again: no two deeds look like twins. */
export const fatOf = (deed: number): number => BASE_G + deed;
export const deedOfFat = (fatG: number): number => Math.round(fatG) - BASE_G;
export const wordsOf = (deed: number): string => `deed ${deed}`;
export const deedOfWords = (words: unknown): number => Number(/^deed (\d+)$/.exec(String(words))?.[1]);

const BASE_G = 1000;
/** Trimmings seldom hold as much fat, so this is asked about. */
const DOUBTFUL_YIELD = 0.85;
const USUAL_YIELD = 0.5;
const MOST_VESSELS = 30;

/** Something new to save, with what comes before it, a question or a form, already on the screen. */
export async function newDeed(cook: Cook, id: number, random: Random): Promise<Deed> {
  const kind = random.pick(KINDS.filter((one) => isOpenTo(cook, one)));
  return { id, kind, cook, send: await READY[kind](cook, id) };
}

function isOpenTo(cook: Cook, kind: Kind): boolean {
  if (kind === '/kit add') return cook.vessels < MOST_VESSELS;
  return cook.batch !== undefined || (kind !== '/batch correct' && kind !== 'its form');
}

const READY: Record<Kind, (cook: Cook, id: number) => Promise<Deed['send']>> = {
  '/batch log':
    async ({ member }, id) =>
    () =>
      member.command('/batch log', weighed(id, USUAL_YIELD)),
  '“Keep it”': async ({ member }, id) => {
    const question = await member.command('/batch log', weighed(id, DOUBTFUL_YIELD));
    return () => member.press(question, 'Keep it');
  },
  '/batch correct':
    async ({ member, batch = 0 }, id) =>
    () =>
      member.command('/batch correct', { number: batch, note: wordsOf(id) }),
  'its form': async ({ member, batch = 0 }, id) => {
    const form = await member.command('/batch correct', { number: batch });
    return () => member.submit(form, { note: wordsOf(id) });
  },
  // Stored in two tables, so that half of it would show.
  '/kit add': async (cook, id) => {
    cook.vessels++;
    return () =>
      cook.member.command('/kit add', { vessel: wordsOf(id), capacity: '12 qt', altitude: `${id} m` });
  },
};

const weighed = (id: number, share: number) => ({
  fat: `${fatOf(id)} g`,
  tallow: `${Math.round(share * fatOf(id))} g`,
  method: 'oven',
  cut: 'ground',
});
