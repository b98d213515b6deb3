import type { Work } from './command.js';
import type { Conversation } from './dispatch.js';

/** What is urgent waits for nothing. */
type Queued = Exclude<Work, 'urgent'>;

/** How many are answered at once of each kind of work, and how many of those for one community. */
export type AtOnce = Readonly<Record<Queued, { readonly inAll: number; readonly ofOne: number }>>;

/**
 * Enough that some are worked out while others wait for the database, and one community’s slow answer does not hold up its
 * next; few enough that they do not wait for its connections. One picture is drawn while another is prepared.
 */
export const AT_ONCE: AtOnce = {
  quick: { inAll: 6, ofOne: 2 },
  long: { inAll: 2, ofOne: 1 },
  picture: { inAll: 2, ofOne: 1 },
};

interface Turns {
  /** Begins `work` when it is its turn; settles as it does. */
  take<T>(kind: Work, community: string, work: () => Promise<T>): Promise<T>;
}

/**
 * Each kind of work has a queue of its own, so that what is quick overtakes what is not. In each the communities take turns,
 * whoever came first within one: a community that asks much waits for itself.
 */
export function turnsWith(atOnce: AtOnce): Turns {
  const queues = {
    quick: queueWith(atOnce.quick),
    long: queueWith(atOnce.long),
    picture: queueWith(atOnce.picture),
  } as const satisfies Record<Queued, unknown>;
  return {
    take: (kind, community, work) =>
      kind === 'urgent'
        ? work()
        : new Promise((resolve, reject) => {
            queues[kind].add(community, () => work().then(resolve, reject));
          }),
  };
}

/** The same conversation, answering when it is somebody's turn. */
export function takingTurns(conversation: Conversation, turns: Turns): Conversation {
  return {
    ...conversation,
    answer: (request, origin) =>
      turns.take(conversation.foresee(request).work, origin.community, () =>
        conversation.answer(request, origin),
      ),
    suggest: (path, option, typed, given, origin) =>
      turns.take('quick', origin.community, () => conversation.suggest(path, option, typed, given, origin)),
  };
}

interface Line {
  readonly waiting: (() => Promise<void>)[];
  underWay: number;
}

function queueWith({ inAll, ofOne }: AtOnce[Queued]) {
  // In the order of their turns: whose turn was taken goes to the end.
  const lines = new Map<string, Line>();
  let underWay = 0;

  function begin(): void {
    for (const [community, line] of lines) {
      if (underWay >= inAll) return;
      const next = line.underWay < ofOne ? line.waiting.shift() : undefined;
      if (next === undefined) continue;
      lines.delete(community);
      lines.set(community, line);
      underWay += 1;
      line.underWay += 1;
      void next().then(() => {
        underWay -= 1;
        line.underWay -= 1;
        if (line.underWay === 0 && line.waiting.length === 0) lines.delete(community);
        begin();
      });
    }
  }

  return {
    add(community: string, work: () => Promise<void>): void {
      const line = lines.get(community) ?? { waiting: [], underWay: 0 };
      lines.set(community, line);
      line.waiting.push(work);
      begin();
    },
  };
}
