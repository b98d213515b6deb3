import type { Answer, Form, FormField } from '../chat/command.js';
import { replyText, tableLines } from '../chat/plain-text.js';
import type { Picture } from '../chat/reply.js';

/** Writes a picture where the person can open it and says where. */
export type SavePicture = (picture: Picture) => Promise<string>;

/** One answer as a person reads it in a terminal. */
export async function printOutcome(outcome: Answer, savePicture: SavePicture): Promise<string> {
  if (outcome.kind === 'refusal' || outcome.kind === 'fault') return `${outcome.title}\n  ${outcome.text}\n`;
  if (outcome.kind === 'form') {
    const lines = [
      ...outcome.fields.map(fieldWords),
      `Fill it in with: press:${outcome.id} field:value …`,
      ...keepingWords(outcome),
    ];
    return `${[outcome.title, ...lines.map((line) => `  ${line}`)].join('\n')}\n`;
  }
  const lines = [
    outcome.title,
    ...outcome.lines.map((line) => `  ${line}`),
    ...(outcome.table ? tableLines(outcome.table).map((line) => `    ${line}`) : []),
    ...(outcome.picture ? [`  Picture: ${await savePicture(outcome.picture)} (${outcome.picture.alt})`] : []),
    ...outcome.cautions.map(({ text, source }) => `  ! ${text} (${source})`),
    ...(outcome.sources.length > 0 ? [`  Source: ${outcome.sources.join('; ')}`] : []),
    ...outcome.actions.map(({ label, id }) => `  [${label}] press:${id}`),
  ];
  return `${lines.join('\n')}\n`;
}

/** What a field is for and what stands in it, or else what could. */
function fieldWords({ name, label, hint, required, value }: FormField): string {
  if (value !== undefined) return `${name}: ${label} — now ${value}`;
  return `${name}: ${label}${required ? '' : ' (may be left out)'} — ${hint}`;
}

/** What becomes of the fields that are filled in when they are left out or emptied. */
function keepingWords({ fields }: Form): readonly string[] {
  const filled = fields.filter(({ value }) => value !== undefined);
  if (filled.length === 0) return [];
  const clearable = filled.find(({ required }) => !required);
  const clears = clearable === undefined ? '' : `; ${clearable.name}:"" clears it`;
  return [`What you leave out stays as it is${clears}.`];
}

/** One answer as one JSON object on one line. */
export async function jsonOutcome(
  command: string,
  outcome: Answer,
  savePicture: SavePicture,
): Promise<string> {
  if (outcome.kind === 'refusal') {
    return JSON.stringify({ command, ok: false, refusal: { title: outcome.title, text: outcome.text } });
  }
  if (outcome.kind === 'fault') {
    const { title, text, reference } = outcome;
    return JSON.stringify({ command, ok: false, fault: { title, text, reference } });
  }
  if (outcome.kind === 'form') {
    const text = [...outcome.fields.map(fieldWords), ...keepingWords(outcome)];
    return JSON.stringify({
      command,
      ok: true,
      reply: {
        title: outcome.title,
        audience: 'only you',
        text: text.join('\n'),
        cautions: [],
        figures: {},
        actions: [outcome.id],
        picture: null,
      },
    });
  }
  return JSON.stringify({
    command,
    ok: true,
    reply: {
      title: outcome.title,
      audience: outcome.audience,
      text: replyText(outcome),
      cautions: outcome.cautions.map(({ id }) => id),
      figures: outcome.figures,
      actions: outcome.actions.map(({ id }) => id),
      picture: outcome.picture ? await savePicture(outcome.picture) : null,
    },
  });
}
