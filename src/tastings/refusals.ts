import { type Refusal, refusal } from '../chat/reply.js';

export const noSuchTasting = (number: number): Refusal =>
  refusal('No such tasting', `There is no tasting ${number} here. /tasting list shows them.`);

export const tastingIsClosed = (number: number): Refusal =>
  refusal(
    `Tasting ${number} is closed`,
    `It takes no more answers. /tasting result number:${number} tells what came out.`,
  );
