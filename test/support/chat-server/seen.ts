import type { Interaction } from './interactions.js';
import { type Json, type Message, messageJson, type World } from './world.js';

/** What whoever asked sees of the answer to an interaction. */
export type Seen =
  /** No first answer: Discord says that the application did not respond. */
  | { readonly kind: 'nothing' }
  /** A waiting notice that nothing has followed. */
  | { readonly kind: 'thinking' }
  | { readonly kind: 'dialog' }
  /** Messages, the first answer first; a press that only changed its message shows that. */
  | { readonly kind: 'messages'; readonly messages: readonly Message[] };

export function seenOf(interaction: Interaction): Seen {
  const { callback, original, source, updated, followUps } = interaction;
  if (callback === undefined) return { kind: 'nothing' };
  if (callback.type === MODAL) return { kind: 'dialog' };
  const isAnswer = original !== undefined && (original !== source || updated);
  const messages = [...(isAnswer ? [original] : []), ...followUps];
  return messages.length === 0 ? { kind: 'thinking' } : { kind: 'messages', messages };
}

/** Interaction Callback Type. */
const MODAL = 9;

/** The words of a message: content, then title, description, fields and footer of each embed, one under the other. */
export function textOf(message: Message, world: World): string {
  const { content, embeds } = messageJson(message, world);
  return [String(content ?? ''), ...listOf(embeds).flatMap(embedText)]
    .filter((part) => part !== '')
    .join('\n');
}

function embedText(embed: Json): readonly string[] {
  const footer = isJson(embed.footer) ? [String(embed.footer.text)] : [];
  const fields = listOf(embed.fields).flatMap((field) => [String(field.name), String(field.value)]);
  return [String(embed.title ?? ''), String(embed.description ?? ''), ...fields, ...footer];
}

export const isJson = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
export const listOf = (value: unknown): readonly Json[] => (Array.isArray(value) ? value.filter(isJson) : []);
