import {
  type ApplicationCommandOptionChoiceData,
  InteractionResponseType,
  type REST,
  Routes,
} from 'discord.js';
import type { Answer, Form } from '../chat/command.js';
import type { Audience } from '../chat/reply.js';
import { insist, pause, type Sent } from './attempts.js';
import { isGone, isTooLate } from './faults.js';
import {
  type Begun,
  callBack,
  dialogSign,
  type FirstSign,
  giveFirst,
  messageSign,
  noticeSign,
  type Ticket,
} from './first-sign.js';
import type { Payload } from './payload.js';
import { apologyFor, bodyFor, NOTICE_LEFT, type View, viewOf } from './views.js';

/** What must be known of an interaction to answer it well. */
export interface Asked {
  readonly ticket: Ticket;
  /** A dialog cannot be the answer to a dialog. */
  readonly takesDialog: boolean;
  /** Who sees the waiting notice, should there be one. */
  readonly audience: Audience;
  /** Whether something could have been stored. */
  readonly stores: boolean;
  /** How long ago it was asked. */
  readonly ageMs: number;
  /** What the person is given to be found by in the log. */
  readonly reference: string;
  /** Keeps a form that cannot be shown now for the button that opens it. */
  readonly keepForm: (form: Form) => void;
}

/** What became of an answer. */
export type Shown =
  | { readonly kind: 'shown' }
  | Extract<Begun, { kind: 'too late' | 'answered before' }>
  /** `isSaid` when the person was told at least that, and what was saved. */
  | { readonly kind: 'not shown'; readonly error: unknown; readonly isSaid: boolean };

/** Half of the 3 s that Discord allows for a first answer: the other half is for the way there and back. */
const WAIT_BEFORE_DEFERRING_MS = 1500;
/** What is at hand needs no waiting notice, however late the question came. */
const LEAST_WAIT_MS = 300;
const LATE_MS = 2000;
/** No interaction is older (Receiving and Responding › Followup Messages): such an age is a clock that is wrong. */
const OLDEST_MS = 15 * 60_000;

/** Once the first sign is given there are 15 minutes; a person waits less. */
const PATIENCE_MS = 10_000;
const PAUSES_MS = [300, 1000, 3000, 6000] as const;
/** A further message has no mark to be known by, so each try may make another. */
const FURTHER_PAUSES_MS = [1000] as const;
const SUGGESTIONS_PATIENCE_MS = 2000;

/**
 * Answers interactions whatever becomes of the requests: what is there is told from Discord's own words, not from what was
 * sent. An answer that is ready within a moment is the first sign itself. Otherwise a waiting notice is, and the answer
 * takes its place, or follows where it is for other eyes: Discord fixes who sees an answer with the first sign of it.
 */
export function answering(rest: REST) {
  /**
   * Shows what `begin` comes to. A question that comes so late that Discord may not take an answer any more is not begun
   * before Discord has taken a waiting notice: what nobody hears of should not be done.
   */
  async function answer(asked: Asked, begin: () => Promise<Answer>): Promise<Shown> {
    const ageMs = asked.ageMs > OLDEST_MS ? 0 : Math.max(0, asked.ageMs);
    const notice = noticeSign(asked.audience);
    if (ageMs >= LATE_MS) {
      const begun = await giveFirst(rest, asked.ticket, () => notice);
      const isHeard = begun.kind === 'waiting' || begun.kind === 'unsure';
      return isHeard ? finish(asked, begun, await begin()) : shownBy(begun);
    }
    let ready: Answer | undefined;
    const outcome = begin().then((answered) => {
      ready = answered;
      return answered;
    });
    const waitMs = Math.max(LEAST_WAIT_MS, WAIT_BEFORE_DEFERRING_MS - ageMs);
    const quick = await Promise.race([outcome, pause(waitMs)]);
    const sign = once((answered: Answer) => signOf(asked, answered, quick !== undefined));
    const begun = await giveFirst(rest, asked.ticket, () => (ready ? sign(ready) : notice)).catch(
      (error: unknown) => ({ kind: 'refused', isNotice: false, error }) as const,
    );
    return finish(asked, begun, await outcome);
  }

  async function finish(asked: Asked, begun: Begun, outcome: Answer): Promise<Shown> {
    const isOpen = begun.kind === 'waiting' || begun.kind === 'unsure' || begun.kind === 'refused';
    if (!isOpen) return shownBy(begun);
    const isRefused = begun.kind === 'refused' && !begun.isNotice;
    const shown = isRefused ? shownBy(begun) : await showOutcome(asked, begun, outcome);
    if (shown.kind !== 'not shown') return shown;
    const said = await place(asked, begun, apologyFor(outcome, asked));
    return { ...shown, isSaid: said.kind === 'shown' };
  }

  async function showOutcome(asked: Asked, begun: Begun, outcome: Answer): Promise<Shown> {
    let view: View;
    try {
      view = viewOf(outcome, asked.keepForm);
    } catch (error) {
      return notShown(error);
    }
    return place(asked, begun, view);
  }

  /** Puts a message where the waiting notice is, or beside it. */
  async function place({ ticket, audience }: Asked, begun: Begun, view: View): Promise<Shown> {
    if (begun.kind === 'refused') {
      const said = await say(ticket, view);
      if (said.kind !== 'answered before') return said;
    }
    // Where only the answer itself was tried, it is the answer that may stand there.
    const isForItsEyes = view.audience === audience || (begun.kind === 'unsure' && !begun.isNotice);
    const sent = isForItsEyes ? await edit(ticket, view.payload) : await takeAway(ticket);
    if (sent.kind === 'refused' && isGone(sent.error)) {
      // Nothing is there: no sign was ever taken, or somebody took the notice away.
      const said = begun.kind === 'unsure' ? await say(ticket, view) : undefined;
      return said && said.kind !== 'answered before' ? said : shownAs(await sayFurther(ticket, view));
    }
    if (isForItsEyes || sent.kind === 'refused') return shownAs(sent);
    return sent.kind === 'taken' ? shownAs(await sayFurther(ticket, view)) : showBesideNotice(ticket, view);
  }

  /**
   * Where the waiting notice could not be taken away, a further message would take its place and its audience (Create
   * Followup Message), so the notice is made a message first.
   */
  async function showBesideNotice(ticket: Ticket, view: View): Promise<Shown> {
    const sent = await edit(ticket, NOTICE_LEFT);
    const isSettled = sent.kind === 'taken' || (sent.kind === 'refused' && isGone(sent.error));
    return shownAs(isSettled ? await sayFurther(ticket, view) : sent);
  }

  /** Shows a message or a dialog that is at hand, as the whole answer. */
  const show = async (ticket: Ticket, sign: FirstSign): Promise<Shown> =>
    shownBy(await giveFirst(rest, ticket, () => sign));

  const say = (ticket: Ticket, view: View): Promise<Shown> => show(ticket, messageSign(view));

  const edit = ({ application, token }: Ticket, { body, files }: Payload): Promise<Sent> => {
    const route = Routes.webhookMessage(application, token);
    const options = { auth: false, body, files: [...files] };
    return insist((signal) => rest.patch(route, { ...options, signal }), PATIENCE_MS, PAUSES_MS);
  };

  const takeAway = ({ application, token }: Ticket): Promise<Sent> => {
    const route = Routes.webhookMessage(application, token);
    return insist((signal) => rest.delete(route, { auth: false, signal }), PATIENCE_MS, PAUSES_MS);
  };

  const sayFurther = ({ application, token }: Ticket, view: View): Promise<Sent> => {
    const route = Routes.webhook(application, token);
    const options = { auth: false, body: bodyFor(view), files: [...view.payload.files] };
    return insist((signal) => rest.post(route, { ...options, signal }), PATIENCE_MS, FURTHER_PAUSES_MS);
  };

  /** Rejects when the suggestions are not taken: nobody misses them. */
  async function suggest(ticket: Ticket, choices: Choices): Promise<void> {
    const type = InteractionResponseType.ApplicationCommandAutocompleteResult;
    const sign = { body: { type, data: { choices } }, files: [] };
    await callBack(rest, ticket, sign, AbortSignal.timeout(SUGGESTIONS_PATIENCE_MS));
  }

  return { answer, show, suggest };
}

type Choices = readonly ApplicationCommandOptionChoiceData[];

const signOf = (asked: Asked, outcome: Answer, isQuick: boolean): FirstSign =>
  outcome.kind === 'form' && isQuick && asked.takesDialog
    ? dialogSign(outcome)
    : messageSign(viewOf(outcome, asked.keepForm));

const notShown = (error: unknown) => ({ kind: 'not shown', error, isSaid: false }) as const;

/** What the first sign alone came to, where nothing follows it. */
function shownBy(begun: Begun): Shown {
  switch (begun.kind) {
    case 'shown':
    case 'waiting':
      return { kind: 'shown' };
    case 'unsure':
    case 'refused':
      return notShown(begun.error);
    default:
      return begun;
  }
}

function shownAs(sent: Sent): Shown {
  if (sent.kind === 'taken') return { kind: 'shown' };
  return sent.kind === 'refused' && isTooLate(sent.error)
    ? { kind: 'too late', error: sent.error }
    : notShown(sent.error);
}

function once<In, Out>(make: (from: In) => Out): (from: In) => Out {
  let made: { readonly value: Out } | undefined;
  return (from) => {
    made ??= { value: make(from) };
    return made.value;
  };
}
