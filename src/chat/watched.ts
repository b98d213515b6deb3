import type { Conversation } from './dispatch.js';
import type { Outbox, Posted } from './platform.js';

/** How one request went. */
export interface Met {
  /** A command's words, `/batch log`, or a button's action, `batch.keep`; never what somebody typed. */
  readonly asked: string;
  readonly outcome: 'reply' | 'refusal' | 'form' | 'fault' | 'suggestions';
  readonly ms: number;
}

/** The same conversation, with somebody who hears how every request went. `clockMs` only ever goes forward. */
export function watched(
  conversation: Conversation,
  clockMs: () => number,
  heard: (met: Met) => void,
): Conversation {
  return {
    ...conversation,
    async answer(request, origin) {
      const start = clockMs();
      const answer = await conversation.answer(request, origin);
      heard({ asked: conversation.foresee(request).asked, outcome: answer.kind, ms: clockMs() - start });
      return answer;
    },
    async suggest(path, option, typed, given, origin) {
      const start = clockMs();
      const choices = await conversation.suggest(path, option, typed, given, origin);
      const { asked } = conversation.foresee({ kind: 'command', path, given });
      heard({ asked, outcome: 'suggestions', ms: clockMs() - start });
      return choices;
    },
  };
}

/** The same outbox, with somebody who hears how every post went. */
export function watchedOutbox(outbox: Outbox, heard: (how: 'sent' | 'closed' | 'failed') => void): Outbox {
  return {
    ...outbox,
    async post(message) {
      try {
        const posted = await outbox.post(message);
        heard(HOW[posted.kind]);
        return posted;
      } catch (error) {
        heard('failed');
        throw error;
      }
    },
  };
}

/** A post that was refused, or put off, is tried again. */
const HOW = {
  posted: 'sent',
  closed: 'closed',
  refused: 'failed',
  later: 'failed',
} as const satisfies Record<Posted['kind'], string>;
