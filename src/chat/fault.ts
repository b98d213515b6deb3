/**
 * The records cannot be used just now: too many ask at once, they are out of reach, or they take nothing new because
 * their disk is full or somebody shut them for writing. Nothing was stored.
 */
export class Unavailable extends Error {
  override readonly name = 'Unavailable';
  constructor(
    readonly why: 'busy' | 'away' | 'read-only',
    options?: ErrorOptions,
  ) {
    super(UNAVAILABLE[why], options);
  }
}

const UNAVAILABLE = {
  busy: 'the records are busy',
  away: 'the records are out of reach',
  'read-only': 'the records take nothing new',
} as const;

/** The connection broke while something was being stored, and nobody heard whether it was. */
export class SavingUnsure extends Error {
  override readonly name = 'SavingUnsure';
  constructor(options?: ErrorOptions) {
    super('the connection broke while something was being stored', options);
  }
}

/**
 * What a person is told when an answer failed before anything was stored. `saved` is said where it is known: that
 * nothing was saved, or nothing at all where nothing could be.
 */
export function faultWords(
  error: unknown,
  reference: string,
  saved: string,
): { readonly title: string; readonly text: string } {
  if (error instanceof SavingUnsure)
    return {
      title: 'It is not sure that this was saved',
      text: `The connection to the records broke at that moment. Look before you send it again. Reference ${reference}.`,
    };
  const [title, text] = error instanceof Unavailable ? WORDS[error.why] : WORDS.bug;
  return { title, text: `${saved} ${text}`.trim().replace('{reference}', `the reference ${reference}`) };
}

const WORDS = {
  busy: ['Busy just now', 'Try again in a minute.'],
  away: ['The records are out of reach', 'They should be back soon. Try again in a few minutes.'],
  'read-only': [
    'Nothing can be saved just now',
    'The records can be read, but take nothing new. Tell whoever runs this bot {reference}, and try again later.',
  ],
  bug: [
    'Something went wrong on our side',
    'Please try again. If it happens again, tell whoever runs this bot {reference}.',
  ],
} as const satisfies Record<Unavailable['why'] | 'bug', unknown>;
