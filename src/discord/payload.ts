import {
  type APIEmbed,
  type APIModalInteractionResponseCallbackData,
  AttachmentBuilder,
  ButtonStyle,
  ComponentType,
  TextInputStyle,
} from 'discord.js';
import type { Form } from '../chat/command.js';
import { tableLines } from '../chat/plain-text.js';
import type { Action, Refusal, Reply } from '../chat/reply.js';
import { escapeCode, escapeText } from './escape.js';
import { cutLines, cutText, LIMITS } from './limits.js';

/** The colour of rendered tallow, and that of a warning sign's edge. */
const TALLOW = 0xe8d9a8;
const REFUSED = 0x9a5b3c;

const CUT_NOTE_ROOM = 60;

/** The body of a message; the same for an answer, an edit and a post. */
export interface Payload {
  readonly content: string;
  readonly embeds: readonly APIEmbed[];
  readonly components: readonly ButtonRow[];
  readonly files: readonly AttachmentBuilder[];
  readonly allowedMentions: { readonly parse: readonly [] };
}

interface ButtonRow {
  readonly type: ComponentType.ActionRow;
  readonly components: readonly {
    readonly type: ComponentType.Button;
    readonly style: ButtonStyle.Primary | ButtonStyle.Secondary | ButtonStyle.Danger;
    readonly label: string;
    readonly custom_id: string;
  }[];
}

/**
 * A reply as one embed within Discord's limits. `mark` is a word that tells this message from others, for finding it
 * again.
 */
export function replyPayload(reply: Reply, mark?: string): Payload {
  const title = cutText(escapeText(reply.title), LIMITS.embedTitle);
  const footer = cutText(
    [reply.sources.length > 0 ? `Source: ${reply.sources.map(oneLine).join('; ')}` : '', mark ?? '']
      .filter((part) => part !== '')
      .join(' · '),
    LIMITS.embedFooter,
  );
  const takeCare = reply.cautions.map(({ text, source }) => `• ${escapeText(text)} (${escapeText(source)})`);
  const cautions = takeCare.length > 0 ? cutLines(takeCare, LIMITS.embedFieldValue) : '';
  const buttons = reply.actions.slice(0, LIMITS.buttonsInRow * LIMITS.rows);
  const leftOut = reply.actions.length - buttons.length;
  const spent = title.length + footer.length + cautions.length + 'Take care'.length + CUT_NOTE_ROOM;
  const description = describe(reply, leftOut, Math.min(LIMITS.embedDescription, LIMITS.embedTotal - spent));
  return {
    content: '',
    embeds: [
      {
        title,
        color: TALLOW,
        ...(description === '' ? {} : { description }),
        ...(cautions === '' ? {} : { fields: [{ name: 'Take care', value: cautions }] }),
        ...(footer === '' ? {} : { footer: { text: footer } }),
        ...(reply.picture ? { image: { url: `attachment://${reply.picture.name}` } } : {}),
      },
    ],
    components: rowsOf(buttons),
    files: reply.picture
      ? [
          new AttachmentBuilder(Buffer.from(reply.picture.png), {
            name: reply.picture.name,
            description: cutText(reply.picture.alt, LIMITS.attachmentDescription),
          }),
        ]
      : [],
    allowedMentions: { parse: [] },
  };
}

function describe(reply: Reply, buttonsLeftOut: number, room: number): string {
  const lines = [
    ...reply.lines.map(escapeText),
    ...(buttonsLeftOut > 0 ? [`… and ${buttonsLeftOut} more choices`] : []),
  ];
  if (!reply.table) return cutLines(lines, room);
  const fence = '```\n';
  const closing = '\n```';
  const table = tableLines(reply.table).map(escapeCode);
  const text = cutLines(lines, Math.max(Math.floor(room / 2), room - table.join('\n').length - 20));
  const before = text === '' ? '' : `${text}\n`;
  const tableRoom = room - before.length - fence.length - closing.length;
  return `${before}${fence}${cutLines(table, tableRoom)}${closing}`;
}

/** A refusal as a short embed of its own colour. */
export function refusalPayload(refusal: Refusal): Payload {
  return {
    content: '',
    embeds: [
      {
        title: cutText(escapeText(refusal.title), LIMITS.embedTitle),
        description: cutText(escapeText(refusal.text), LIMITS.embedDescription),
        color: REFUSED,
      },
    ],
    components: [],
    files: [],
    allowedMentions: { parse: [] },
  };
}

/** A form where it could not be shown at once: a button that opens it. */
export function formButtonPayload(form: Form): Payload {
  return {
    ...refusalPayload({
      kind: 'refusal',
      title: form.title,
      text: 'This took a moment longer than a dialog may.',
    }),
    components: rowsOf([{ id: form.id, label: 'Fill it in', weight: 'main' }]),
  };
}

/** A form as Discord's dialog. */
export function formModal(form: Form): APIModalInteractionResponseCallbackData {
  return {
    custom_id: form.id,
    title: cutText(form.title, LIMITS.modalTitle),
    components: form.fields.map((field) => ({
      type: ComponentType.Label,
      label: cutText(field.label, LIMITS.inputLabel),
      component: {
        type: ComponentType.TextInput,
        custom_id: field.name,
        style: field.long ? TextInputStyle.Paragraph : TextInputStyle.Short,
        required: field.required,
        max_length: Math.min(field.maxLength, LIMITS.inputValue),
        placeholder: cutText(field.hint, LIMITS.inputPlaceholder),
        ...(field.value === undefined
          ? {}
          : { value: cutText(field.value, Math.min(field.maxLength, LIMITS.inputValue)) }),
      },
    })),
  };
}

const STYLES = {
  main: ButtonStyle.Primary,
  plain: ButtonStyle.Secondary,
  grave: ButtonStyle.Danger,
} as const satisfies Record<Action['weight'], ButtonStyle>;

function rowsOf(actions: readonly Action[]): readonly ButtonRow[] {
  const rows: ButtonRow[] = [];
  for (let at = 0; at < actions.length; at += LIMITS.buttonsInRow) {
    rows.push({
      type: ComponentType.ActionRow,
      components: actions.slice(at, at + LIMITS.buttonsInRow).map(({ id, label, weight }) => ({
        type: ComponentType.Button,
        style: STYLES[weight],
        label: cutText(oneLine(label), LIMITS.buttonLabel),
        custom_id: id,
      })),
    });
  }
  return rows;
}

const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();
