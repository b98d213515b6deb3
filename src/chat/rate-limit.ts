import { LRUCache } from 'lru-cache';
import type { Origin } from './call.js';
import type { Conversation, Request } from './dispatch.js';
import type { Refusal } from './reply.js';

const MINUTE_MS = 60_000;

/** How often something may be asked within a minute. Choices of ours: nobody types so much. */
interface RateLimits {
  readonly member: number;
  readonly community: number;
  /** To a member who has asked fewer than this the community's limit does not apply: others do not use up everybody's. */
  readonly always: number;
}

const ANSWERS: RateLimits = { member: 60, community: 600, always: 5 };
/** Asked for at every key that is typed. */
const SUGGESTIONS: RateLimits = { member: 300, community: 3000, always: 25 };

/** Whose limit was reached. */
export type Limited = 'member' | 'community';

/**
 * The same conversation for a place where anybody may ask: who asks too much is told when to go on, before anything is
 * looked up. What was refused does not count. `heard` hears of every refusal. What is urgent is always answered: it costs
 * no more than a refusal.
 */
export function rateLimited(
  conversation: Conversation,
  heard: (limited: Limited) => void = () => {},
): Conversation {
  const mayAsk = limitedTo(ANSWERS);
  const maySeeSuggestions = limitedTo(SUGGESTIONS);
  return {
    ...conversation,
    async answer(request, origin) {
      if (conversation.foresee(request).work === 'urgent') return conversation.answer(request, origin);
      const over = mayAsk(origin);
      if (over === undefined) return conversation.answer(request, origin);
      heard(over.limited);
      return refused(conversation, request, over);
    },
    async suggest(path, option, typed, given, origin) {
      const over = maySeeSuggestions(origin);
      if (over === undefined) return conversation.suggest(path, option, typed, given, origin);
      heard(over.limited);
      return [];
    },
  };
}

interface Over {
  readonly limited: Limited;
  readonly most: number;
  /** Until the next may be asked. */
  readonly waitMs: number;
}

function refused(conversation: Conversation, request: Request, { limited, most, waitMs }: Over): Refusal {
  const seconds = Math.ceil(waitMs / 1000);
  const wait = seconds <= 1 ? 'in a second' : `in ${seconds} seconds`;
  return limited === 'member'
    ? conversation.refuse(
        request,
        'A little slower, please',
        `You asked ${most} times within a minute. Go on ${wait}.`,
      )
    : conversation.refuse(
        request,
        'Much is asked here just now',
        `This community asked ${most} times within a minute. Try again ${wait}.`,
      );
}

/** So many members and communities are remembered; those who asked least lately are forgotten first. */
const MOST_REMEMBERED = 20_000;

/** Counts who asks; why somebody may not just now, or undefined, and then it is counted. */
function limitedTo({ member, community, always }: RateLimits): (origin: Origin) => Over | undefined {
  const byMember = new LRUCache<string, number[]>({ max: MOST_REMEMBERED });
  const byCommunity = new LRUCache<string, number[]>({ max: MOST_REMEMBERED });
  return (origin) => {
    const nowMs = origin.now.getTime();
    const own = lastMinute(byMember, origin.member.id, nowMs);
    if (own.length >= member) return { limited: 'member', most: member, waitMs: waitIn(own, member, nowMs) };
    const all = lastMinute(byCommunity, origin.community, nowMs);
    if (all.length >= community && own.length >= always)
      return { limited: 'community', most: community, waitMs: waitIn(all, community, nowMs) };
    own.push(nowMs);
    all.push(nowMs);
    return undefined;
  };
}

/** When it was asked within the last minute, oldest first. What lies ahead is forgotten: the clock was set back. */
function lastMinute(asked: LRUCache<string, number[]>, who: string, nowMs: number): number[] {
  const times = asked.get(who) ?? [];
  asked.set(who, times);
  const isRecent = (at: number) => nowMs - MINUTE_MS < at && at <= nowMs;
  if (!isRecent(times[0] ?? nowMs) || !isRecent(times.at(-1) ?? nowMs))
    times.splice(0, times.length, ...times.filter(isRecent));
  return times;
}

/** Until fewer than `most` lie within a minute. */
const waitIn = (times: readonly number[], most: number, nowMs: number): number =>
  (times.at(-most) ?? nowMs) + MINUTE_MS - nowMs;
