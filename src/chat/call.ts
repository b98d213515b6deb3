import type { Platform } from './platform.js';

/** Who asks, where and when: everything a command may know of the world besides its options. */
export interface Call {
  readonly member: Member;
  /** The community whose records this call may touch; a direct message is a community of one. */
  readonly community: string;
  readonly where: Where;
  /** The channel it was asked in, where the face has channels. */
  readonly channel: string | undefined;
  /** Unique to this request: a request delivered twice carries the same one. */
  readonly interaction: string;
  readonly now: Date;
  readonly platform: Platform;
}

export interface Member {
  readonly id: string;
  readonly name: string;
  /** May change the community's settings and other people's batches. */
  readonly mayManage: boolean;
}

export type Where = 'server' | 'direct';
