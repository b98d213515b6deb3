/** Discord's limits. Message › Embed Limits, Create Message; Component Reference; Application Commands. */
export const LIMITS = {
  embedTitle: 256,
  embedDescription: 4096,
  embedFieldName: 256,
  embedFieldValue: 1024,
  embedFooter: 2048,
  embedTotal: 6000,
  buttonLabel: 80,
  buttonsInRow: 5,
  rows: 5,
  modalTitle: 45,
  inputLabel: 45,
  inputPlaceholder: 100,
  inputValue: 4000,
  attachmentDescription: 1024,
  commandDescription: 100,
  choices: 25,
  choiceName: 100,
  choiceValue: 100,
  optionMaxLength: 6000,
} as const;

/** A first answer later than this is refused (Receiving and Responding › Interaction Callback). */
export const FIRST_ANSWER_MS = 3000;

/** Text cut to a limit counted as Discord counts, in UTF-16 units, without splitting a character. */
export function cutText(text: string, most: number): string {
  if (text.length <= most) return text;
  let cut = '';
  for (const character of text) {
    if (cut.length + character.length > most - 1) break;
    cut += character;
  }
  return `${cut}…`;
}

/** As many whole lines as fit, and a count of those that do not. A single line that is too long is cut inside. */
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
  const [first = ''] = lines;
  if (kept.length === 0) {
    const note = lines.length > 1 ? `\n${moreLines(lines.length - 1)}` : '';
    return cutText(first, most - note.length) + note;
  }
  return [...kept, moreLines(lines.length - kept.length)].join('\n');
}

const moreLines = (count: number): string => `… and ${count} more ${count === 1 ? 'line' : 'lines'}`;
