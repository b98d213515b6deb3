import type { Outcome } from '../chat/command.js';
import { replyText, tableLines } from '../chat/plain-text.js';
import type { Picture } from '../chat/reply.js';

/** Writes a picture where the person can open it and says where. */
export type SavePicture = (picture: Picture) => Promise<string>;

/** One answer as a person reads it in a terminal. */
export async function printOutcome(outcome: Outcome, savePicture: SavePicture): Promise<string> {
  if (outcome.kind === 'refusal') return `${outcome.title}\n  ${outcome.text}\n`;
  if (outcome.kind === 'form') {
    const fields = outcome.fields.map(
      ({ name, label, hint, required }) =>
        `  ${name}: ${label}${required ? '' : ' (may be left out)'} — ${hint}`,
    );
    return `${[outcome.title, ...fields, `  Fill it in with: press:${outcome.id} field:value …`].join('\n')}\n`;
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

/** One answer as one JSON object on one line. */
export async function jsonOutcome(
  command: string,
  outcome: Outcome,
  savePicture: SavePicture,
): Promise<string> {
  if (outcome.kind === 'refusal') {
    return JSON.stringify({ command, ok: false, refusal: { title: outcome.title, text: outcome.text } });
  }
  if (outcome.kind === 'form') {
    const text = outcome.fields.map(
      ({ name, label, required }) => `${name}: ${label}${required ? '' : ' (may be left out)'}`,
    );
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
