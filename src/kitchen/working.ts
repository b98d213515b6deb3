import { z } from 'zod';
import { actionId, button } from '../chat/action.js';
import { type Call, ifReadable } from '../chat/call.js';
import { type Handler, handler } from '../chat/command.js';
import { type Figure, isRefusal, type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import { type Part, type WorkingInput, workingOf } from '../cooking/working.js';
import type { Records } from '../records/database.js';
import { findDraft, saveDraft } from '../records/drafts.js';

/** A reply and how it came about. */
export interface Answer {
  readonly reply: Reply;
  /** It rests on something that only the cook's kit says: the working is for the cook alone. */
  readonly usesKit?: boolean;
  readonly inputs: readonly WorkingInput[];
  readonly parts: readonly Part[];
}

const DRAFT = 'working-';
/** Without control characters, which the database would not take. */
const draftId = z.string().regex(new RegExp(`^${DRAFT}\\P{C}+$`, 'u'));

const actionOf = (name: string): string => `${name}.working`;

/**
 * The reply of an answer with a button that shows its working. The working is kept as a draft, so that it stays what it
 * was; where it cannot be kept just now the reply goes without the button.
 */
export async function withWorking(
  db: Records,
  name: string,
  answer: Answer | Refusal,
  call: Call,
): Promise<Reply | Refusal> {
  if (isRefusal(answer)) return answer;
  // A request delivered twice draws up the same draft twice.
  const id = `${DRAFT}${call.interaction}`;
  const { community, member, now } = call;
  const body: WorkingDraft = {
    usesKit: answer.usesKit ?? false,
    working: fittingWorking(answer),
  };
  const saving = saveDraft(db, { community, id, memberId: member.id, body, now }).then(() => id);
  const kept = await ifReadable(saving, call);
  if (kept === undefined) return answer.reply;
  const shown = button('Show the working', actionId(actionOf(name), kept));
  return { ...answer.reply, actions: [...answer.reply.actions, shown] };
}

/** The handler of the button “Show the working” under a command's answers. */
export function workingHandlers(db: Records, name: string): { readonly [action: string]: Handler } {
  return {
    [actionOf(name)]: handler({
      audience: 'only you',
      args: z.tuple([draftId]),
      press: ([id], _fields, call) => keptWorking(db, id, call),
    }),
  };
}

async function keptWorking(db: Records, id: string, call: Call): Promise<Reply | Refusal> {
  const draft = await findDraft(db, call.community, id);
  const body = workingDraft.safeParse(draft?.body);
  if (!draft || !body.success) return refusal('That is too long ago', 'Ask again with the command.');
  const { usesKit, working } = body.data;
  return usesKit && draft.memberId !== call.member.id
    ? refusal(
        'Only for whoever asked',
        'It was worked out with the kit of the cook who asked, and shows what is in it. Ask with the command to see the working with yours.',
      )
    : reply({ ...working, audience: 'only you' });
}

const figure: z.ZodType<Figure> = z.lazy(() =>
  z.union([z.number(), z.null(), z.array(figure), z.record(z.string(), figure)]),
);
const workingDraft = z.object({
  /** It shows what is in the kit of who asked, which is theirs. */
  usesKit: z.boolean(),
  working: z.object({
    title: z.string(),
    lines: z.array(z.string()),
    sources: z.array(z.string()),
    figures: z.record(z.string(), figure),
  }),
});
type WorkingDraft = z.infer<typeof workingDraft>;

/** Each source and bracket costs a little more on its way to a message, which holds about 4,096 and 6,000 characters. */
const MOST_IN_LINES = 3850;
const MOST_IN_ALL = 5700;

/** With as much left out as it takes to fit into a message, of what another command shows too. */
function fittingWorking({ reply: { title }, inputs, parts }: Answer): WorkingDraft['working'] {
  const elsewhere = parts.filter(({ alsoIn }) => alsoIn !== undefined).reverse();
  for (let count = 0; ; count++) {
    const leftOut = elsewhere.slice(0, count);
    const shown = parts.filter((part) => !leftOut.includes(part));
    const { lines, sources } = workingOf(inputs, shown, leftOut);
    const inLines = lines.join(' ').length;
    const working = { title: `The working: ${title}`, lines: [...lines], sources: [...sources] };
    const fits =
      inLines <= MOST_IN_LINES && working.title.length + inLines + sources.join('; ').length <= MOST_IN_ALL;
    if (fits || count === elsewhere.length) return { ...working, figures: figuresOf(shown) };
  }
}

const figuresOf = (parts: readonly Part[]): WorkingDraft['working']['figures'] =>
  Object.fromEntries(
    parts.map(({ title, calculation: { steps } }) => [
      title,
      Object.fromEntries(steps.map(({ name, value }) => [name, value])),
    ]),
  );
