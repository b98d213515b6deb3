/** What a tasting asks, in words. */
import type { Product, Tasting, TastingKind, TastingPlan } from '../records/tastings.js';
import { listWords } from '../words/lists.js';

export const KINDS: readonly { readonly value: TastingKind; readonly label: string }[] = [
  { value: 'triangle', label: 'Triangle: is there a difference?' },
  { value: 'pair', label: 'Pair: which is more …?' },
  { value: 'ranking', label: 'Ranking: from most to least …, 3 to 6' },
];

/** How many products each kind takes. */
export const PRODUCTS_OF: Readonly<Record<TastingKind, { readonly least: number; readonly most: number }>> = {
  triangle: { least: 2, most: 2 },
  pair: { least: 2, most: 2 },
  ranking: { least: 3, most: 6 },
};

/** "batch 12", or the words. */
export const productName = (product: Product): string =>
  'batch' in product ? `batch ${product.batch}` : product.words;

/** The name of a product by its place, 0 being the first. */
export function nameAt({ products }: TastingPlan, place: number): string {
  const product = products[place];
  if (product === undefined) throw new RangeError(`there is no product ${place} of ${products.length}`);
  return productName(product);
}

/** What stands for a product on the sheet of the one who serves: A to F. */
export const letterAt = (place: number): string => 'ABCDEF'.charAt(place);

/** "Which is more beefy: one wash or two washes?" */
export function questionWords(plan: TastingPlan): string {
  const names = plan.products.map(productName);
  switch (plan.kind) {
    case 'triangle':
      return `Is there a difference between ${listWords(names)}?`;
    case 'pair':
      return plan.expected === undefined
        ? `Which is more ${plan.quality}: ${listWords(names, 'or')}?`
        : `Is ${nameAt(plan, plan.expected)} more ${plan.quality} than ${nameAt(plan, 1 - plan.expected)}?`;
    case 'ranking':
      return `From most to least ${plan.quality}: ${listWords(names)}?`;
  }
}

/** Tastings with the same key ask the same, in whatever order and case their products were named. */
export function questionKey(plan: Pick<Tasting, keyof TastingPlan>): string {
  const plainly = (text: string) =>
    text
      .toLowerCase()
      .replace(/[^\p{L}\p{M}\p{N}]+/gu, ' ')
      .trim();
  const expected = plan.expected === undefined ? '' : plainly(nameAt(plan, plan.expected));
  return JSON.stringify([
    plan.kind,
    plan.products.map((product) => plainly(productName(product))).sort(),
    plainly(plan.quality ?? ''),
    expected,
  ]);
}

/** The places of the products in the order that all tastings of the same question share. */
export function sharedOrder({ products }: TastingPlan): readonly number[] {
  const names = products.map((product) => productName(product).toLowerCase());
  return names.map((_, at) => at).sort((a, b) => ((names[a] ?? '') < (names[b] ?? '') ? -1 : 1));
}
