import { uniform } from '../../statistics/seeded.js';
import type { Answer, Member } from '../chat-server/member.js';

type Doing = (who: Member, earlier: Answer | undefined) => Promise<Answer | readonly unknown[]>;

let weighed = 0;
/** Of four pounds of fat; one that was not logged lately, about which the bot would ask. */
const freshWeight = (): string => `${700 + (weighed++ % 400)} g`;

/** Something that a member of a busy server does, and how it is done. `earlier` is what `/water` answered them before. */
const KINDS = {
  '/water': (who) => who.command('/water', { fat: '4 lb 8 oz', method: 'pressure', cut: 'ground' }),
  'Show the working': async (who, earlier) =>
    who.press(earlier ?? (await who.command('/water', { fat: '2 lb' })), 'Show the working'),
  '/plan': (who) => who.command('/plan', { fat: '5 lb' }),
  '/batch log': (who) =>
    who.command('/batch log', {
      fat: '4 lb',
      tallow: freshWeight(),
      method: 'oven',
      cut: 'ground',
      minutes: '3 h',
    }),
  '/batch list': (who) => who.command('/batch list'),
  '/yield pooled': (who) => who.command('/yield pooled'),
  '/yield forecast': (who) => who.command('/yield forecast', { fat: '4 lb', method: 'oven', cut: 'ground' }),
  '/yield compare by:method': (who) => who.command('/yield compare', { by: 'method' }),
  '/yield compare by:weight': (who) => who.command('/yield compare', { by: 'weight' }),
  '/safety': (who) => who.command('/safety', { topic: 'fire' }),
  suggestions: (who) => who.autocomplete('/batch correct', { number: '1' }, 'number'),
} as const satisfies Readonly<Record<string, Doing>>;

export type AskKind = keyof typeof KINDS;

export const ASK_KINDS: readonly AskKind[] = Object.keys(KINDS).filter(
  (name): name is AskKind => name in KINDS,
);

/** Does it; answers with what the member sees, or with the suggestions. */
export const act = (kind: AskKind, ...how: Parameters<Doing>): ReturnType<Doing> => KINDS[kind](...how);

/** One thing asked, when, by which member of which server; all counted from 0. */
export interface Ask {
  readonly atMs: number;
  readonly kind: AskKind;
  readonly guild: number;
  readonly member: number;
}

/** How often each is asked among twenty; choice of ours. */
const MIX: readonly AskKind[] = [
  ...Array<AskKind>(6).fill('/water'),
  ...Array<AskKind>(2).fill('Show the working'),
  ...Array<AskKind>(2).fill('/plan'),
  ...Array<AskKind>(2).fill('/batch log'),
  '/batch list',
  '/yield pooled',
  '/yield forecast',
  '/yield compare by:method',
  '/yield compare by:weight',
  '/safety',
  ...Array<AskKind>(2).fill('suggestions'),
];

/** A mix of everything from every member in turn, evenly over the time; the same at every run. */
export function mixedAsks(many: {
  readonly asks: number;
  readonly withinMs: number;
  readonly guilds: readonly number[];
  readonly membersEach: number;
}): readonly Ask[] {
  const { asks, withinMs, guilds, membersEach } = many;
  const kinds = shuffled(Array.from({ length: asks }, (_, at) => MIX[at % MIX.length] ?? '/water'));
  return kinds.map((kind, at) => ({
    atMs: (at * withinMs) / asks,
    kind,
    guild: guilds[at % guilds.length] ?? 0,
    member: Math.floor(at / guilds.length) % membersEach,
  }));
}

/** `/water` from every server in turn, so many a second. */
export function waterAsks(many: {
  readonly aSecond: number;
  readonly forMs: number;
  readonly guilds: readonly number[];
  readonly membersEach: number;
}): readonly Ask[] {
  const { aSecond, forMs, guilds, membersEach } = many;
  return Array.from({ length: Math.round((aSecond * forMs) / 1000) }, (_, at) => ({
    atMs: (at * 1000) / aSecond,
    kind: '/water',
    guild: guilds[at % guilds.length] ?? 0,
    member: Math.floor(at / guilds.length) % membersEach,
  }));
}

const SEED = 20261125;

function shuffled<T>(items: readonly T[]): readonly T[] {
  const random = uniform(SEED);
  return items
    .map((item) => ({ item, key: random() }))
    .sort((a, b) => a.key - b.key)
    .map(({ item }) => item);
}
