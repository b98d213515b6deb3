import type { Call } from './call.js';

/** What an answer can do without: undefined where it cannot be read, of which the log hears. */
export async function ifReadable<T>(reading: Promise<T>, call: Call): Promise<T | undefined> {
  try {
    return await reading;
  } catch (error) {
    call.missed(error);
    return undefined;
  }
}
