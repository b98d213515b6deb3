import { nearest } from '../words/nearest.js';
import { type Command, isUrgent } from './command.js';
import type { Request } from './dispatch.js';

/** Under this name an urgent command is given what was said when it was not called as it should be. */
export const SAID = 'said';

/** What stands in for a request that calls nothing, where somebody may need an answer at once. */
export interface Ears {
  /** The request for the urgent command that is meant by the words of a command that there is not. */
  meantBy(path: readonly string[]): Request | undefined;
  /** The same for a line that calls no command. */
  overheard(line: string): Request | undefined;
}

/** In a hurry nobody looks a command up: its misspelling, words behind it, or a cry for help are understood too. */
export function earsFor(commands: readonly Command[]): Ears {
  const names = commands.map(({ name }) => name);
  const urgent = commands.filter(isUrgent);
  const isUrgentName = (name: string) => urgent.some((one) => one.name === name);

  const asking = (name: string, said: string): Request => ({
    kind: 'command',
    path: [name],
    given: { [SAID]: said },
  });

  function hearing(said: string): Request | undefined {
    const found = urgent.find(({ hears }) => hears?.(said) === true);
    return found && asking(found.name, said);
  }

  return {
    meantBy(path) {
      const [first = '', ...rest] = path;
      const meant = rest.length === 0 ? nearest(first, names) : first;
      if (meant !== undefined && isUrgentName(meant)) return asking(meant, rest.join(' '));
      return names.includes(first) ? undefined : hearing(path.join(' '));
    },
    overheard(line) {
      const [, slash, first = ''] = /^\s*(\/?)([\p{L}\p{N}-]*)/u.exec(line.toLowerCase()) ?? [];
      if (isUrgentName(first)) return asking(first, line);
      return slash === '/' && names.includes(first) ? undefined : hearing(line);
    },
  };
}
