import { wholeNumberIn } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import { oneLine } from '../chat/clean.js';
import type { Choice, Given } from '../chat/option.js';
import { type Option, parsed, shorten, unreadable } from '../chat/option.js';
import { choice, wholeNumber, words } from '../chat/options.js';
import type { Records } from '../records/database.js';
import { type Matter, newestTastings, type Product, type TastingKind } from '../records/tastings.js';
import { KINDS, PRODUCTS_OF, productName, questionWords } from './questions.js';

const MOST_WORDS = 40;
const MOST_NUMBER = 100_000_000;
const MOST_PRODUCTS = PRODUCTS_OF.ranking.most;
const LEAST_PLANNED = 2;
/** So many seats have codes for six cups each, and no kitchen has more. */
export const MOST_PLANNED = 100;

const EXAMPLE = 'one wash, two washes';

/** Batches by number, or words, between commas or around “or”. */
const compared: Option<readonly Product[], true> = {
  description: 'What is compared: batches by number, or in words; between commas',
  required: true,
  entry: { kind: 'text', maxLength: 300 },
  example: EXAMPLE,
  suggests: false,
  parse: (text) => {
    const clean = oneLine(text);
    const separator = /[,;]/.test(clean) ? /[,;]/ : /\s(?:or|vs\.?|versus|against)\s/i;
    const named = clean.split(separator).map((part) => part.trim());
    const products = named.filter((name) => name !== '').map(productIn);
    const [long] = named.filter((name) => [...name].length > MOST_WORDS);
    if (long !== undefined)
      return unreadable(`“${shorten(long)}” is too long; ${MOST_WORDS} characters each at most.`);
    if (products.length < 2 || products.length > MOST_PRODUCTS)
      return unreadable(`name 2 to ${MOST_PRODUCTS}, with commas between. For example: ${EXAMPLE}.`);
    const names = products.map((product) => productName(product).toLowerCase());
    const twice = names.find((name, at) => names.indexOf(name) !== at);
    if (twice !== undefined) return unreadable(`“${shorten(twice)}” is named twice.`);
    const [outside] = products.filter((product) => 'batch' in product && !isNumber(product.batch));
    return outside === undefined
      ? parsed(products)
      : unreadable(`there is no ${productName(outside)}. Batches are numbered from 1.`);
  },
};

const isNumber = (number: number): boolean => number >= 1 && number <= MOST_NUMBER;

function productIn(name: string): Product {
  const [, number] = /^(?:batch\s*)?#?\s*(\d{1,15})$/i.exec(name) ?? [];
  return number === undefined ? { words: name } : { batch: Number(number) };
}

const LEAST_SHARE = 5;
const MOST_SHARE = 95;
const MOST_D_PRIME = 5;

/** "30 %" of people who can tell, or "d′ 1". */
const difference: Option<Matter, false> = {
  description: 'What difference would matter: how many people can tell it, or d′; 30 % unless said',
  required: false,
  entry: { kind: 'text', maxLength: 20 },
  example: '30 %',
  suggests: false,
  parse: (text) => {
    const clean = oneLine(text);
    const [, share] = /^(\d+(?:[.,]\d+)?)\s*(?:%|percent|per cent)$/i.exec(clean) ?? [];
    const [, dPrime] = /^d\s*(?:['’′`]|prime)?\s*[:=]?\s*(\d+(?:[.,]\d+)?)$/i.exec(clean) ?? [];
    const value = Number((share ?? dPrime ?? '').replace(',', '.'));
    if (share !== undefined && value >= LEAST_SHARE && value <= MOST_SHARE)
      return parsed({ share: value / 100 });
    if (dPrime !== undefined && value > 0 && value <= MOST_D_PRIME) return parsed({ dPrime: value });
    return unreadable(
      `“${shorten(clean)}” is neither a share of people from ${LEAST_SHARE} to ${MOST_SHARE} %, like “30 %”, nor a d′ up to ${MOST_D_PRIME}, like “d′ 1”.`,
    );
  },
};

/** What `/tasting open` asks for. */
export const OPENING = {
  kind: choice({ description: 'What is asked of the tasters', required: true, choices: KINDS }),
  compare: compared,
  tasters: wholeNumber({
    description: 'How many tasters are planned',
    required: true,
    least: LEAST_PLANNED,
    most: MOST_PLANNED,
    example: '12',
  }),
  quality: words({
    description: 'Pair and ranking: more of what? For example beefy, smoky, liked',
    required: false,
    maxLength: MOST_WORDS,
    example: 'beefy',
  }),
  expected: choice({
    description: 'Pair: ask only whether this one has more; either may, unless said',
    required: false,
    choices: [
      { value: 'first', label: 'The first named' },
      { value: 'second', label: 'The second named' },
    ],
  }),
  difference,
} as const;

/** The option that names one tasting. */
export const tastingNumber = wholeNumber({
  description: 'Which tasting',
  required: true,
  least: 1,
  most: MOST_NUMBER,
  example: '3',
  suggests: true,
});

/** The same in the id of a button. */
export const tastingNumberIn = wholeNumberIn(1, MOST_NUMBER);

const NEWEST_SUGGESTED = 25;

/** Suggests the newest tastings whose numbers begin as typed. */
export const suggestTastings =
  (db: Records, which: 'open' | 'closed' | 'all') =>
  async (_option: string, typed: string, _given: Given, call: Call): Promise<readonly Choice[]> => {
    const tastings = await newestTastings(db, call.community, 4 * NEWEST_SUGGESTED);
    return tastings
      .filter(({ closed }) => which === 'all' || (closed !== undefined) === (which === 'closed'))
      .filter(({ number }) => String(number).startsWith(typed.trim().replace(/^#/, '')))
      .slice(0, NEWEST_SUGGESTED)
      .map((one) => ({
        value: String(one.number),
        label: shorten(`${one.number}: ${questionWords(one)}`, 100),
      }));
  };

/** What is wrong with the number of products, or with what else was said, for this kind. */
export function whyUnfit(
  kind: TastingKind,
  products: number,
  said: { readonly quality: string | undefined; readonly expected: string | undefined },
): string | undefined {
  const { least, most } = PRODUCTS_OF[kind];
  if (products < least || products > most)
    return kind === 'ranking'
      ? `A ranking compares ${least} to ${most}; for two ask kind:pair.`
      : `A ${kind} compares two; for more ask kind:ranking.`;
  if (kind === 'triangle' && said.quality !== undefined)
    return 'A triangle only asks whether there is a difference; for more of something ask kind:pair.';
  if (kind !== 'triangle' && said.quality === undefined) return 'Say of what, for example quality:beefy.';
  if (kind !== 'pair' && said.expected !== undefined) return 'Only a pair can expect one of two.';
  return undefined;
}
