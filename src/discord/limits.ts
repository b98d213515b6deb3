/**
 * What Discord takes at most, in characters unless it says otherwise. Discord counts code points or less; `length`
 * counts UTF-16 units and is never smaller, so text cut by it always fits.
 */
export const LIMITS = {
  /** Message › Embed Limits. */
  embedTitle: 256,
  embedDescription: 4096,
  embedFieldName: 256,
  embedFieldValue: 1024,
  embedFooter: 2048,
  /** Title, description, field names and values, footer and author of all embeds of a message together. */
  embedTotal: 6000,
  /** Message › Attachment Object, `description`. */
  attachmentDescription: 1024,
  /** Create Message, `nonce`. */
  nonce: 25,
  /** Component Reference › Action Row; the five rows are a rule of messages without components v2. */
  buttonsInRow: 5,
  rows: 5,
  /** Component Reference › Button, `label`; `custom_id` of every component. */
  buttonLabel: 80,
  customId: 100,
  /** Receiving and Responding › Modal: `title`, and one to five components. */
  modalTitle: 45,
  /** Component Reference › Label, `label`; Text Input, `placeholder` and `value`. */
  inputLabel: 45,
  inputPlaceholder: 100,
  inputValue: 4000,
  /** Application Commands › Application Command Structure, Option Structure, Option Choice Structure. */
  commandDescription: 100,
  choices: 25,
  choiceName: 100,
  choiceValue: 100,
  optionMaxLength: 6000,
} as const;

/** Stands where Discord wants text and there is none. */
const NOTHING_TO_SHOW = '…';

/**
 * Text cut to `most` UTF-16 units without splitting a character or an escape. Text that Discord would take for empty
 * becomes an ellipsis.
 */
export function cutText(text: string, most: number): string {
  if (text.trim() === '') return NOTHING_TO_SHOW;
  if (text.length <= most) return text;
  let cut = '';
  for (const character of text) {
    if (cut.length + character.length > most - NOTHING_TO_SHOW.length) break;
    cut += character;
  }
  return withoutHalfAnEscape(cut) + NOTHING_TO_SHOW;
}

/** As many whole lines as fit, and a count of those that do not. A first line that is too long is cut inside. */
export function cutLines(lines: readonly string[], most: number): string {
  const whole = lines.join('\n');
  if (whole.length <= most) return whole;
  const kept: string[] = [];
  let length = 0;
  for (const line of lines) {
    const note = moreLines(lines.length - kept.length);
    if (length + line.length + 1 + note.length > most) break;
    kept.push(line);
    length += line.length + 1;
  }
  if (kept.length > 0) return [...kept, moreLines(lines.length - kept.length)].join('\n');
  const [first = ''] = lines;
  const note = lines.length > 1 ? `\n${moreLines(lines.length - 1)}` : '';
  return cutText(first, most - note.length) + note;
}

const moreLines = (count: number): string => `… and ${count} more ${count === 1 ? 'line' : 'lines'}`;

/** A backslash whose character was cut away would show, or escape what comes next. */
function withoutHalfAnEscape(text: string): string {
  const backslashes = /\\*$/.exec(text)?.[0].length ?? 0;
  return backslashes % 2 === 1 ? text.slice(0, -1) : text;
}
