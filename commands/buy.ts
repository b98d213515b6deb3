import { type Call, ifReadable } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import type { ValuesOf } from '../src/chat/option.js';
import { type Option, parsed } from '../src/chat/option.js';
import { type Fact, figuresOf, isRefusal, reply } from '../src/chat/reply.js';
import { FAT_CONTENT, type RawFat, TALLOW_DENSITY_G_PER_ML } from '../src/cooking/blends/tallow.js';
import { costPerG, fatToBuy, type Purchase } from '../src/cooking/buying.js';
import type { BurnerUse } from '../src/cooking/heat/burner-use.js';
import * as option from '../src/kitchen/options.js';
import { renderOf } from '../src/kitchen/render.js';
import { withKit } from '../src/kitchen/with-kit.js';
import type { Records } from '../src/records/database.js';
import { sourceLines } from '../src/safety/sources.js';
import { type MeasureSystem, roundWeightWords, weightRangeWords } from '../src/words/amounts.js';
import { capitalise } from '../src/words/lists.js';
import { inFewDigits } from '../src/words/numbers.js';
import { G_PER_LB } from '../src/words/units.js';

const DESCRIPTION = 'How much raw fat to buy for some tallow, and what the tallow costs';

const {
  method,
  cut,
  minutes,
  burner,
  'burner-kind': burnerKind,
  price: powerPrice,
  unit,
} = option.RENDER_OPTIONS;

/** What raw fat costs: a number for a pound, unless it says that it is for a kilogram. */
interface FatPrice {
  readonly perG: number;
  readonly per: MeasureSystem;
}

const PER_WEIGHT = /\s*(?:\/|\bper\b|\ba\b)\s*(lbs?|pounds?|kgs?|kilos?|kilograms?)\.?\s*$/i;

const fatPrice: Option<FatPrice, false> = {
  description: 'Price of a pound of raw fat; write /kg for a kilogram',
  required: false,
  entry: { kind: 'text', maxLength: 30 },
  example: '1.99/lb',
  suggests: false,
  parse: (text) => {
    const isMetric = /^k/i.test(PER_WEIGHT.exec(text)?.[1] ?? '');
    const read = powerPrice.parse(text.replace(PER_WEIGHT, ''));
    if (!read.ok) return read;
    const per: MeasureSystem = isMetric ? 'metric' : 'us';
    return parsed({ perG: read.value / GRAMS_IN[per], per });
  },
};

const GRAMS_IN = { us: G_PER_LB, metric: 1000 } as const satisfies Record<MeasureSystem, number>;
const COST_LABEL = { us: 'Cost a pound', metric: 'Cost a kilogram' } as const satisfies Record<
  MeasureSystem,
  string
>;

const OPTIONS = {
  tallow: option.tallowAmount(true, 'Tallow you want, by weight or volume'),
  price: fatPrice,
  kind: option.rawFat(),
  cut,
  method,
  minutes,
  burner,
  'burner-kind': burnerKind,
  'power-price': powerPrice,
  unit,
} as const;

type Values = ValuesOf<typeof OPTIONS>;

/** `/buy`: how much raw fat of each kind to buy, and what a pound of tallow then costs. */
export function buy(db: Records) {
  return command({
    name: 'buy',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: OPTIONS,
      async run(values, call, given) {
        const tallowG = option.gramsOf(values.tallow, TALLOW_DENSITY_G_PER_ML.pouring);
        const kinds: readonly RawFat[] = values.kind ? [values.kind] : ['trimmings', 'suet'];
        const bought = await Promise.all(kinds.map((kind) => boughtOf(db, call, values, tallowG, kind)));
        return answer(bought, { values, tallowG, system: values.unit ?? systemOf(given.tallow ?? '') });
      },
    }),
  });
}

interface Bought extends Purchase {
  readonly kind: RawFat;
  /** Where the burner is known and the fat fits its pot. */
  readonly use: BurnerUse | undefined;
}

async function boughtOf(
  db: Records,
  call: Call,
  { tallow: _, price: _price, 'power-price': ofPower, kind: _kind, unit: _unit, ...said }: Values,
  tallowG: number,
  kind: RawFat,
): Promise<Bought> {
  const purchase = fatToBuy(tallowG, kind, said.cut ?? option.ASSUMED.cut);
  const { fatG } = purchase;
  const asked = await ifReadable(withKit(db, call, { ...said, price: ofPower, kind }, fatG), call);
  if (asked === undefined || isRefusal(asked)) return { ...purchase, kind, use: undefined };
  const render = renderOf({ ...asked, fatG, measured: [], share: undefined });
  return { ...purchase, kind, use: isRefusal(render) ? undefined : render.heat.use };
}

/** That in which somebody wrote an amount. */
const systemOf = (typed: string): MeasureSystem =>
  /\d\s*(?:k?g|kilo\w*|gram\w*|m?l|lit\w+)\b/i.test(typed) ? 'metric' : 'us';

interface Wanted {
  readonly values: Values;
  readonly tallowG: number;
  readonly system: MeasureSystem;
}

function answer(bought: readonly Bought[], { values, tallowG, system }: Wanted) {
  const costs = bought.map((one) => ({ ...one, costPerKg: costOf(one, tallowG, values.price) }));
  const amounts = bought.map(({ fatG, kind }) => `${roundWeightWords(fatG, system)} of ${kind}`);
  return reply({
    title: `Buy ${amounts.join(', or ')}`,
    facts: [
      ...costs.map(({ kind, fatLowG, fatHighG }) => ({
        label: capitalise(kind),
        text: weightRangeWords(fatLowG, fatHighG, system),
      })),
      ...costFacts(costs, system),
      ...energyFacts(bought),
    ],
    ...(values.price ? {} : { note: 'The larger end of the range is safe.' }),
    sources: sourceLines([
      'practice-yield',
      ...(bought.some(({ kind }) => kind === 'suet') ? (['suet-by-its-fat'] as const) : []),
    ]),
    figures: {
      tallowG,
      ...Object.fromEntries(
        costs.map(({ kind, use, costPerKg, ...purchase }) => [
          kind,
          {
            ...figuresOf(purchase, 'fatG', 'fatLowG', 'fatHighG'),
            fatFraction: FAT_CONTENT[kind].typical,
            costPerKg: costPerKg ?? null,
            energyKWh: use?.energyKWh ?? null,
            energyCost: use?.cost ?? null,
          },
        ]),
      ),
    },
  });
}

function costOf({ fatG, use }: Bought, tallowG: number, price: FatPrice | undefined): number | undefined {
  if (price === undefined) return undefined;
  return 1000 * costPerG({ tallowG, fatG, fatPricePerG: price.perG, energyCost: use?.cost ?? 0 });
}

function costFacts(
  costs: readonly { readonly kind: RawFat; readonly costPerKg: number | undefined }[],
  system: MeasureSystem,
): readonly Fact[] {
  const told = costs.flatMap(({ kind, costPerKg }) =>
    costPerKg === undefined ? [] : [`${((costPerKg * GRAMS_IN[system]) / 1000).toFixed(2)} from ${kind}`],
  );
  return told.length === 0 ? [] : [{ label: COST_LABEL[system], text: told.join(', ') }];
}

/** Of the first kind: the other takes about as much. */
function energyFacts([first]: readonly Bought[]): readonly Fact[] {
  if (first?.use === undefined) return [];
  const { energyKWh, cost } = first.use;
  const money = cost === null ? '' : `, ${cost.toFixed(2)}`;
  return [{ label: 'Energy', text: `${inFewDigits(energyKWh)} kWh${money}` }];
}
