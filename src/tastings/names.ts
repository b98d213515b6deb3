/** Names of the buttons’ actions, known to the replies that show them and to the command that takes them. */
export const SERVE = 'tasting.serve';
export const SHEET = 'tasting.sheet';
export const TASTE = 'tasting.taste';
export const ANSWER = 'tasting.answer';
export const CLOSE = 'tasting.close';
export const DETAILS = 'tasting.details';
