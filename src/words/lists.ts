const LISTS = {
  and: new Intl.ListFormat('en-GB', { type: 'conjunction' }),
  or: new Intl.ListFormat('en-GB', { type: 'disjunction' }),
} as const;

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[], last: keyof typeof LISTS = 'and'): string {
  return LISTS[last].format(items);
}

/** "1 batch", "3 batches", "12,000 batches". */
export function countWords(count: number, one: string, many: string): string {
  return `${count < 10_000 ? count : count.toLocaleString('en-US')} ${count === 1 ? one : many}`;
}

/** A text with a capital at its beginning. */
export function capitalise(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
