import type { Platform } from './platform.js';

/** Who asks, where and when: what an adapter knows of a request besides its words. */
export interface Origin {
  readonly member: Member;
  /** The community whose records this call may touch; a direct message is a community of one. */
  readonly community: string;
  readonly where: Where;
  /** The channel it was asked in, where the adapter has channels. */
  readonly channel: string | undefined;
  /** Unique to this request: a request delivered twice carries the same one. */
  readonly interaction: string;
  readonly now: Date;
  readonly platform: Platform;
  /**
   * Whether the place itself let this person in, where a command is for those who manage the community: on Discord the
   * server's own settings say who may run it.
   */
  readonly admitted?: boolean;
  /** The bot that was asked: several may share one database, and each sends only what is its own. */
  readonly application: string;
}

/** The bot that talks in a terminal, among those that share a database. */
export const TERMINAL = 'terminal';

/** Everything a command may know of the world besides its options. */
export interface Call extends Origin {
  /**
   * To be told as soon as something is stored, in a few words: “Batch 12 is saved”. Whatever fails after that, the person
   * hears it.
   */
  readonly saved: (what: string) => void;
  /** To be told what went wrong with a part that the answer can do without. */
  readonly missed: (error: unknown) => void;
}

export interface Member {
  readonly id: string;
  readonly name: string;
  /** May change the community's settings and other people's batches. */
  readonly mayManage: boolean;
}

type Where = 'server' | 'direct';

/** What an answer can do without: undefined where it cannot be read, of which the log hears. */
export async function ifReadable<T>(reading: Promise<T>, call: Call): Promise<T | undefined> {
  try {
    return await reading;
  } catch (error) {
    call.missed(error);
    return undefined;
  }
}
