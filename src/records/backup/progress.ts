const FIRST_AFTER_MS = 2000;
const NEXT_AFTER_MS = 5000;

/** Tells whoever waits how many rows are done: after two seconds first, then every five. */
export function tellProgress(
  announce: (line: string) => void,
  words: (rows: string) => string,
): (rows: number) => void {
  let next = Date.now() + FIRST_AFTER_MS;
  let done = 0;
  return (rows) => {
    done += rows;
    if (Date.now() < next) return;
    next = Date.now() + NEXT_AFTER_MS;
    announce(words(countWords(done)));
  };
}

export const countWords = (count: number): string => count.toLocaleString('en-US');
