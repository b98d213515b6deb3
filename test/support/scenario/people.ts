import { setTimeout as pause } from 'node:timers/promises';
import { ASK_KINDS, act } from '../burst/asks.js';
import type { Answer, Member } from '../chat-server/member.js';
import type { StandIn } from '../chat-server/server.js';
import type { Guild } from '../chat-server/world.js';
import type { Random } from '../hostile/random.js';

/** The members of servers, who ask one thing after the other until they are told to stop. */
export interface People {
  /** What each interaction that stores something wants stored, by its id. */
  readonly marks: ReadonlyMap<string, string>;
  /** What went wrong with the members themselves. */
  readonly wrongs: readonly string[];
  stop(): void;
}

const READS = ASK_KINDS.filter((kind) => kind !== '/batch log');
/** Below the sixty things a minute that a member may ask. */
const SHORTEST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 2600;
/** What becomes of somebody whose question meets a fault: no answer, or one without the buttons. */
const USUAL_WOES = /did not answer|no button|no message/;

let marksGiven = 0;
const newMark = (): string => `mark ${++marksGiven}`;

interface Person {
  readonly who: Member;
  /** Grams of tallow of their last batch, each time others, so that it is no twin. */
  tallowG: number;
  ownBatch: number | undefined;
  earlier: Answer | undefined;
}

export function startPeople(
  standin: StandIn,
  guilds: readonly Guild[],
  membersEach: number,
  random: Random,
): People {
  const marks = new Map<string, string>();
  const wrongs: string[] = [];
  let isOver = false;

  /** The interaction is sent at once, before anything else can be. */
  function marked(mark: string, ask: () => Promise<Answer>): Promise<Answer> {
    const answer = ask();
    const sent = standin.interactions().at(-1);
    if (sent) marks.set(sent.id, mark);
    return answer;
  }

  async function log(person: Person, mark = newMark()): Promise<Answer> {
    const tallow = `${person.tallowG} g`;
    const batch = { fat: '2 kg', tallow, method: 'oven', cut: 'ground', minutes: '3 h', note: mark };
    const answer = await marked(mark, () => person.who.command('/batch log', batch));
    person.ownBatch = Number(/^Batch (\d+): /m.exec(answer.text)?.[1] ?? person.ownBatch);
    return answer;
  }

  async function logTwin(person: Person): Promise<void> {
    person.tallowG++;
    await log(person);
    const mark = newMark();
    const question = await log(person, mark);
    if (question.buttons.some(({ label }) => label === 'Log it again'))
      await marked(mark, () => person.who.press(question, 'Log it again'));
  }

  async function correct({ who, ownBatch }: Person): Promise<void> {
    if (ownBatch === undefined) return;
    const given = await who.command('/batch correct', { number: ownBatch });
    const form = given.modal || given.buttons.length === 0 ? given : await who.press(given, 'Fill it in');
    const mark = newMark();
    if (form.modal) await marked(mark, () => who.submit(form, { note: mark }));
  }

  async function read(person: Person): Promise<void> {
    const kind = random.pick(READS);
    const answer = await act(kind, person.who, person.earlier);
    if (kind === '/water' && 'buttons' in answer && answer.buttons.length > 0) person.earlier = answer;
  }

  function askSomething(person: Person): Promise<unknown> {
    const what = random.below(10);
    if (what < 4) {
      person.tallowG++;
      return log(person);
    }
    if (what < 5) return logTwin(person);
    return what < 7 ? correct(person) : read(person);
  }

  async function live(person: Person): Promise<void> {
    await pause(random.below(LONGEST_PAUSE_MS));
    while (!isOver) {
      await askSomething(person).catch((error: unknown) => {
        const woe = error instanceof Error ? error.message : String(error);
        if (!USUAL_WOES.test(woe)) wrongs.push(`a member: ${woe}`);
      });
      await pause(SHORTEST_PAUSE_MS + random.below(LONGEST_PAUSE_MS - SHORTEST_PAUSE_MS));
    }
  }

  for (const guild of guilds)
    for (let at = 0; at < membersEach; at++) {
      const who = standin.member(guild, `Cook ${at}`);
      void live({ who, tallowG: 900, ownBatch: undefined, earlier: undefined });
    }
  return {
    marks,
    wrongs,
    stop: () => {
      isOver = true;
    },
  };
}
