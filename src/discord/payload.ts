import {
  type APIActionRowComponent,
  type APIButtonComponentWithCustomId,
  type APIEmbed,
  type APIModalInteractionResponseCallbackData,
  ButtonStyle,
  ComponentType,
  type RawFile,
  TextInputStyle,
} from 'discord.js';
import { oneLine } from '../chat/clean.js';
import type { Form, FormField } from '../chat/command.js';
import { tableLines } from '../chat/plain-text.js';
import type { Action, Picture, Refusal, Reply, Table } from '../chat/reply.js';
import { escapeCode, escapeText } from './escape.js';
import { cutLines, cutText, LIMITS } from './limits.js';

/** The colour of set tallow for answers, of a browned crackling for refusals. */
const TALLOW = 0xe8d9a8;
const CRACKLING = 0x9a5b3c;

const CAUTIONS = 'Take care';

/**
 * A message as Discord's API takes it: the same for an answer, an edit and a post. Nobody is ever pinged. The files are
 * named even where there are none, so that an edit leaves none from before.
 */
export type Payload = ReturnType<typeof messageOf>;

function messageOf(embed: APIEmbed, buttons: readonly Action[], picture?: Picture) {
  const files: readonly RawFile[] = picture ? [{ name: picture.name, data: Buffer.from(picture.png) }] : [];
  const attachments = picture
    ? [{ id: '0', description: cutText(oneLine(picture.alt), LIMITS.attachmentDescription) }]
    : [];
  return {
    body: {
      embeds: [embed],
      components: rowsOf(buttons),
      attachments,
      allowed_mentions: { parse: [] as const },
    },
    files,
  };
}

/**
 * A reply as one embed with its buttons and its picture, within Discord's limits whatever it says: what does not fit is
 * cut at a line and counted. `mark`, at the very end, tells the message from others, for finding it again.
 */
export function replyPayload(reply: Reply, mark?: string): Payload {
  const buttons = pressable(reply.actions);
  const title = titleOf(reply.title);
  const footer = footerOf(reply.sources, mark);
  const cautions = cautionLines(reply);
  const spent = title.length + footer.length + (cautions === '' ? 0 : CAUTIONS.length + cautions.length);
  const description = descriptionOf(
    reply,
    reply.actions.length - buttons.length,
    Math.min(LIMITS.embedDescription, LIMITS.embedTotal - spent),
  );
  return messageOf(
    {
      title,
      color: TALLOW,
      ...(description.trim() === '' ? {} : { description }),
      ...(cautions === '' ? {} : { fields: [{ name: CAUTIONS, value: cautions }] }),
      ...(footer === '' ? {} : { footer: { text: footer } }),
      ...(reply.picture ? { image: { url: `attachment://${reply.picture.name}` } } : {}),
    },
    buttons,
    reply.picture,
  );
}

const titleOf = (title: string): string => cutText(escapeText(title), LIMITS.embedTitle);

/** The words, then the note in small print. */
function descriptionOf(reply: Reply, buttonsLeftOut: number, room: number): string {
  if (reply.note === undefined) return wordsOf(reply, buttonsLeftOut, room);
  const note = smallPrint(cutText(escapeText(reply.note), LIMITS.embedFieldValue));
  const words = wordsOf(reply, buttonsLeftOut, room - note.length - 1);
  return words.trim() === '' ? note : `${words}\n${note}`;
}

const smallPrint = (escaped: string): string => `-# ${escaped}`;
/** Short, so that whatever is cut off behind it leaves it whole. */
const label = (text: string): string => `**${cutText(escapeText(text), LIMITS.embedTitle)}**`;

/** The lines, facts and steps, then the table; of two long ones each gets half of the room. */
function wordsOf(reply: Reply, buttonsLeftOut: number, room: number): string {
  const lines = [
    ...reply.lines.map(escapeText),
    ...reply.facts.map((fact) => `${label(fact.label)} ${escapeText(fact.text)}`),
    ...reply.steps.map(({ when, what }) => `${label(when)} ${escapeText(what)}`),
    ...(buttonsLeftOut > 0
      ? [`… and ${buttonsLeftOut} more ${buttonsLeftOut === 1 ? 'choice' : 'choices'}`]
      : []),
  ];
  if (!reply.table) return cutLines(lines, room);
  const table = codeLinesOf(reply.table);
  const fenced = (inside: string) => `\`\`\`\n${inside}\n\`\`\``;
  const tableRoom = room - fenced('').length - 1;
  const linesRoom = Math.max(Math.floor(tableRoom / 2), tableRoom - table.join('\n').length);
  const above = cutLines(lines, linesRoom);
  return `${above === '' ? '' : `${above}\n`}${fenced(cutLines(table, tableRoom - above.length))}`;
}

function codeLinesOf({ columns, rows }: Table): readonly string[] {
  return tableLines({
    columns: columns.map((column) => ({ ...column, title: escapeCode(column.title) })),
    rows: rows.map((row) => row.map(escapeCode)),
  });
}

/** The one that matters most, its source in small print; then a line for each other. */
function cautionLines({ caution, cautions }: Reply): string {
  const source = caution && escapeText(caution.source);
  const lines = [
    ...(caution ? [escapeText(caution.text), ...(source ? [smallPrint(source)] : [])] : []),
    ...cautions.map((one) => `• ${escapeText(one.text)} (${escapeText(one.source)})`),
  ];
  return cutLines(lines, LIMITS.embedFieldValue);
}

/** Discord shows no formatting in a footer, so nothing in it needs escaping. */
function footerOf(sources: readonly string[], mark: string | undefined): string {
  const named = sources.map(oneLine).filter((source) => source !== '');
  const ending = mark ?? '';
  if (named.length === 0) return ending;
  const joint = ending === '' ? '' : ' · ';
  const room = LIMITS.embedFooter - joint.length - ending.length;
  return cutText(`Source: ${named.join('; ')}`, room) + joint + ending;
}

/** A refusal as a short embed of its own colour, with the buttons that put it right. */
export function refusalPayload({
  title,
  text,
  actions = [],
}: Pick<Refusal, 'title' | 'text'> & Partial<Pick<Refusal, 'actions'>>): Payload {
  return messageOf(
    {
      title: titleOf(title),
      description: cutText(escapeText(text), LIMITS.embedDescription),
      color: CRACKLING,
    },
    pressable(actions),
  );
}

/** A form where a dialog cannot be the answer: a button that opens it. */
export function formButtonPayload(form: Form): Payload {
  return messageOf({ title: titleOf(form.title), color: TALLOW }, [
    { id: form.id, label: 'Fill it in', weight: 'main' },
  ]);
}

/** A form as Discord's dialog. */
export function formModal(form: Form): APIModalInteractionResponseCallbackData {
  return {
    custom_id: form.id,
    title: cutText(oneLine(form.title), LIMITS.modalTitle),
    components: form.fields.map((field) => ({
      type: ComponentType.Label,
      label: cutText(oneLine(field.label), LIMITS.inputLabel),
      component: textInput(field),
    })),
  };
}

function textInput({ name, hint, required, long, maxLength, value }: FormField) {
  const most = Math.max(1, Math.min(maxLength, LIMITS.inputValue));
  return {
    type: ComponentType.TextInput as const,
    custom_id: name,
    style: long ? TextInputStyle.Paragraph : TextInputStyle.Short,
    required,
    max_length: most,
    ...(hint.trim() === '' ? {} : { placeholder: cutText(oneLine(hint), LIMITS.inputPlaceholder) }),
    ...(value === undefined || value.trim() === '' ? {} : { value: cutText(value, most) }),
  };
}

const STYLES = {
  main: ButtonStyle.Primary,
  plain: ButtonStyle.Secondary,
  grave: ButtonStyle.Danger,
} as const satisfies Record<Action['weight'], ButtonStyle>;

/** The buttons that Discord takes: each id once, neither empty nor too long, and no more than fit. */
function pressable(actions: readonly Action[]): readonly Action[] {
  return actions
    .filter(({ id }) => id !== '' && id.length <= LIMITS.customId)
    .filter(({ id }, at, fitting) => fitting.findIndex((one) => one.id === id) === at)
    .slice(0, LIMITS.buttonsInRow * LIMITS.rows);
}

function rowsOf(actions: readonly Action[]): APIActionRowComponent<APIButtonComponentWithCustomId>[] {
  const rows = Math.ceil(actions.length / LIMITS.buttonsInRow);
  return Array.from({ length: rows }, (_, row) => ({
    type: ComponentType.ActionRow,
    components: actions
      .slice(row * LIMITS.buttonsInRow, (row + 1) * LIMITS.buttonsInRow)
      .map(({ id, label, weight }) => ({
        type: ComponentType.Button,
        style: STYLES[weight],
        label: cutText(oneLine(label), LIMITS.buttonLabel),
        custom_id: id,
      })),
  }));
}
