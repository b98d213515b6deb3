import { visible } from '../chat/clean.js';
import type { Answer, Form, FormField } from '../chat/command.js';
import { factLines, replyText, tableLines } from '../chat/plain-text.js';
import { type Action, cautionsOf, type Picture } from '../chat/reply.js';

/** Writes a picture where the person can open it and says where. */
export type SavePicture = (picture: Picture) => Promise<string>;

/** One answer as a person reads it in a terminal. */
export async function printOutcome(outcome: Answer, savePicture: SavePicture): Promise<string> {
  const lines = [outcome.title, ...(await linesUnder(outcome, savePicture)).map((line) => `  ${line}`)];
  return `${lines.map(asOneLine).join('\n')}\n`;
}

/** Nothing that somebody typed moves the cursor, colours the terminal or looks like another line. */
const asOneLine = (line: string): string => visible(line).replace(/\s/g, ' ');

async function linesUnder(outcome: Answer, savePicture: SavePicture): Promise<readonly string[]> {
  switch (outcome.kind) {
    case 'fault':
      return [outcome.text];
    case 'refusal':
      return [outcome.text, ...outcome.actions.map(actionWords)];
    case 'form':
      return [
        ...outcome.fields.map(fieldWords),
        `Fill it in with: press:${outcome.id} field:value …`,
        ...keepingWords(outcome),
      ];
    case 'reply':
      return [
        ...outcome.lines,
        ...factLines(outcome),
        ...(outcome.table ? tableLines(outcome.table).map((line) => `  ${line}`) : []),
        ...(outcome.picture
          ? [`Picture: ${await savePicture(outcome.picture)} (${outcome.picture.alt})`]
          : []),
        ...(outcome.note === undefined ? [] : [outcome.note]),
        ...cautionsOf(outcome).map(({ text, source }) => `! ${text} (${source})`),
        ...(outcome.sources.length > 0 ? [`Source: ${outcome.sources.join('; ')}`] : []),
        ...outcome.actions.map(actionWords),
      ];
  }
}

const actionWords = ({ label, id }: Action): string => `[${label}] press:${id}`;

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
  return JSON.stringify({ command, ...(await jsonOf(outcome, savePicture)) }).replace(UNESCAPED, escaped);
}

/** What JSON leaves as it is and a terminal may obey: the later control characters, and those of the direction. */
const UNESCAPED = /[\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g;
const escaped = (character: string): string => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`;

async function jsonOf(outcome: Answer, savePicture: SavePicture) {
  switch (outcome.kind) {
    case 'refusal': {
      const { title, text, actions } = outcome;
      const pressable = actions.length === 0 ? {} : { actions: actions.map(({ id }) => id) };
      return { ok: false, refusal: { title, text, ...pressable } };
    }
    case 'fault': {
      const { title, text, reference } = outcome;
      return { ok: false, fault: { title, text, reference } };
    }
    case 'form':
      return {
        ok: true,
        reply: {
          title: outcome.title,
          audience: 'only you',
          text: [...outcome.fields.map(fieldWords), ...keepingWords(outcome)].join('\n'),
          cautions: [],
          figures: {},
          actions: [outcome.id],
          picture: null,
        },
      };
    case 'reply':
      return {
        ok: true,
        reply: {
          title: outcome.title,
          audience: outcome.audience,
          text: replyText(outcome),
          facts: outcome.facts,
          steps: outcome.steps,
          note: outcome.note ?? null,
          cautions: cautionsOf(outcome).map(({ id }) => id),
          figures: outcome.figures,
          actions: outcome.actions.map(({ id }) => id),
          picture: outcome.picture ? await savePicture(outcome.picture) : null,
        },
      };
  }
}
