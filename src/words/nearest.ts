/** Shorter words are near to too many others. */
const SHORTEST_LETTERS = 4;

/** The one of some words that a word is, or was meant to be: itself, or the only one a single slip away. */
export function nearest(word: string, words: readonly string[]): string | undefined {
  const wanted = word.toLowerCase();
  if (words.includes(wanted)) return wanted;
  if (wanted.length < SHORTEST_LETTERS) return undefined;
  const near = words.filter((one) => isOneSlipAway(wanted, one));
  return near.length === 1 ? near[0] : undefined;
}

/** One letter wrong, left out or too many, or two that stand side by side changed over. */
function isOneSlipAway(typed: string, meant: string): boolean {
  let same = 0;
  while (same < typed.length && typed[same] === meant[same]) same++;
  const rest = (text: string, skipped: number) => text.slice(same + skipped);
  const isChangedOver = typed[same] === meant[same + 1] && typed[same + 1] === meant[same];
  return (
    rest(typed, 1) === rest(meant, 1) ||
    rest(typed, 0) === rest(meant, 1) ||
    rest(typed, 1) === rest(meant, 0) ||
    (isChangedOver && rest(typed, 2) === rest(meant, 2))
  );
}
