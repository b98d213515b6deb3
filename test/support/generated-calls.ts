import fc from 'fast-check';

/** Generated calls of every command that calculates: what a cook might type, option by option. */

export type Given = Readonly<Record<string, string>>;

export const lineOf = (command: string, given: Given) =>
  [command, ...Object.entries(given).map(([name, value]) => `${name}:"${value}"`)].join(' ');

export const tenths = (least: number, most: number) =>
  fc.integer({ min: least * 10, max: most * 10 }).map((value) => value / 10);
export const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });
const inUnit = (numbers: fc.Arbitrary<number>, ...units: readonly string[]) =>
  fc.tuple(numbers, fc.constantFrom(...units)).map(([number, unit]) => `${number} ${unit}`);

const fat = fc.oneof(inUnit(tenths(0.3, 60), 'lb', 'kg'), inUnit(fc.integer({ min: 4, max: 900 }), 'oz'));
export const method = fc.constantFrom(
  'open-pot',
  'pressure',
  'slow-cooker',
  'stovetop-dry',
  'oven',
  'smoker',
);
const unit = fc.constantFrom('us', 'metric');

const render = {
  method: maybe(method),
  cut: maybe(fc.constantFrom('ground', 'minced', 'cubed')),
  minutes: maybe(inUnit(fc.integer({ min: 2, max: 14 }), 'h')),
  altitude: maybe(inUnit(fc.integer({ min: -400, max: 5900 }), 'm', 'ft')),
  lid: maybe(fc.constantFrom('on', 'ajar', 'off')),
  vessel: maybe(inUnit(fc.integer({ min: 4, max: 60 }), 'qt', 'L')),
  burner: maybe(inUnit(fc.integer({ min: 900, max: 20_000 }), 'W')),
  'burner-kind': maybe(fc.constantFrom('gas', 'electric', 'induction', 'outdoor gas')),
  price: maybe(fc.constantFrom('0.11', '0.34')),
  kind: maybe(fc.constantFrom('suet', 'trimmings')),
  lean: maybe(inUnit(fc.integer({ min: 0, max: 90 }), '%')),
  unit: maybe(unit),
};

const given = (model: Readonly<Record<string, fc.Arbitrary<string | undefined>>>): fc.Arbitrary<Given> =>
  fc
    .record(model)
    .map((values) =>
      Object.fromEntries(
        Object.entries(values).flatMap(([name, value]) => (value === undefined ? [] : [[name, value]])),
      ),
    );

const amount = fc.oneof(
  inUnit(tenths(0.1, 40), 'cups', 'kg', 'lb'),
  inUnit(fc.integer({ min: 1, max: 900 }), 'g', 'ml', 'tbsp'),
);
const small = fc.oneof(inUnit(tenths(0, 9), 'tsp', 'g'), inUnit(fc.integer({ min: 0, max: 4 }), 'tbsp'));

export const CALCULATIONS: readonly (readonly [command: string, given: fc.Arbitrary<Given>])[] = [
  ['/water', given({ fat, ...render })],
  [
    '/plan',
    fc
      .tuple(
        fc.oneof(
          given({ fat }),
          given({ tallow: amount }),
          given({
            meals: fc.integer({ min: 1, max: 90 }).map(String),
            each: maybe(fc.constantFrom('2 tbsp', '1 oz')),
          }),
        ),
        given({
          ...render,
          by: maybe(fc.constantFrom('Saturday 6pm', 'next Sunday noon', '2026-12-24 17:30')),
          frozen: maybe(fc.constantFrom('yes', 'no')),
          smoke: maybe(fc.constantFrom('light', 'heavy')),
          zone: maybe(fc.constantFrom('America/Denver', 'Europe/Berlin', 'Asia/Kolkata')),
        }),
      )
      .map(([what, how]) => ({ ...what, ...how })),
  ],
  [
    '/blend butter',
    fc.oneof(
      given({
        total: amount,
        ratio: maybe(fc.constantFrom('1:1', '3:2')),
        kind: maybe(fc.constantFrom('salted', 'unsalted')),
        unit: maybe(unit),
      }),
      given({ butter: amount, tallow: amount, unit: maybe(unit) }),
      given({ tallow: amount, salt: maybe(fc.constantFrom('1.3 %', '2 %')), unit: maybe(unit) }),
    ),
  ],
  [
    '/blend salted',
    given({
      tallow: amount,
      water: maybe(inUnit(tenths(0.1, 9), 'cups', 'tbsp', 'L')),
      salt: maybe(small),
      xanthan: maybe(small),
      unit: maybe(unit),
    }),
  ],
  [
    '/smoke',
    given({
      tallow: amount,
      strength: maybe(fc.constantFrom('light', 'strong', 'heavy')),
      unit: maybe(unit),
    }),
  ],
];
