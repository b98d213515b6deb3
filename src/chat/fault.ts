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
  const withSaved = (text: string) => (saved === '' ? text : `${saved} ${text}`);
  if (error instanceof SavingUnsure)
    return {
      title: 'It is not sure that this was saved',
      text: `The connection to the records broke at that moment. Look before you send it again. Reference ${reference}.`,
    };
  if (error instanceof Unavailable)
    switch (error.why) {
      case 'busy':
        return { title: 'Busy just now', text: withSaved('Try again in a minute.') };
      case 'away':
        return {
          title: 'The records are out of reach',
          text: withSaved('They should be back soon. Try again in a few minutes.'),
        };
      case 'read-only':
        return {
          title: 'Nothing can be saved just now',
          text: withSaved(
            `The records can be read, but take nothing new. Tell whoever runs this bot the reference ${reference}, and try again later.`,
          ),
        };
    }
  return {
    title: 'Something went wrong on our side',
    text: withSaved(
      `Please try again. If it happens again, tell whoever runs this bot the reference ${reference}.`,
    ),
  };
}
