import { oneLine } from '../chat/clean.js';
import { type Option, parsed, shorten, unreadable, type ValuesOf } from '../chat/option.js';
import { channel, choice, percentage, quantity, words } from '../chat/options.js';
import { parseQuantity } from '../chat/quantity.js';
import { SMOKE_STRENGTHS } from '../cooking/blends/smoke.js';
import { KITCHEN_ALTITUDE_M } from '../cooking/heat/atmosphere.js';
import { HIGHEST_GAUGE_KPA } from '../cooking/heat/boiling.js';
import { START_C } from '../cooking/heat/heat-up.js';
import { LARGEST_VESSEL_ML, SMALLEST_VESSEL_ML } from '../cooking/water/vessel.js';
import { capitalise } from '../words/lists.js';
import { CUTS, METHODS } from '../words/methods.js';
import {
  DURATION_UNITS,
  G_PER_LB,
  KPA_PER_PSI,
  LENGTH_UNITS,
  MASS_UNITS,
  POWER_UNITS,
  PRESSURE_UNITS,
  TEMPERATURE_UNITS,
  VOLUME_UNITS,
} from '../words/units.js';

/** Options that several commands share: the same words and the same bounds everywhere. */

/** An ounce, and a gram or so less for a scale that reads 28: no pot is put on for less. */
export const LEAST_FAT_G = 28;
/** Heavier than any kitchen; lighter would refuse a butcher. */
export const MOST_FAT_G = 500_000;
const MOST_WEIGHT = {
  value: MOST_FAT_G,
  words: `${MOST_FAT_G / 1000} kg (${Math.round(MOST_FAT_G / G_PER_LB)} lb)`,
};
export const SEVERAL_DAYS_MINUTES = 7 * 24 * 60;

/** What may be left out, as most of what can be said. */
const amountOf = (spec: Omit<Parameters<typeof quantity>[0], 'required'>) =>
  quantity({ ...spec, required: false });

interface Weighed<R extends boolean> {
  readonly description: string;
  readonly required: R;
  readonly example: string;
  readonly least: { readonly value: number; readonly exclusive?: boolean; readonly words: string };
}

/** A weight; a bare number is offered in the units in which a cook has so many. */
function weight<const R extends boolean>(spec: Weighed<R>): Option<number, R> {
  return quantity({ ...spec, units: MASS_UNITS, bare: weightReadings, most: MOST_WEIGHT });
}

/** Pounds and kilograms of a few, ounces too of a dozen, grams and ounces of hundreds. */
function weightReadings(size: number): readonly string[] {
  if (size >= 100) return ['g', 'oz'];
  return size >= 10 ? ['oz', 'lb', 'kg'] : ['lb', 'kg'];
}

export const fatWeight = <R extends boolean>(required: R) =>
  weight({
    description: 'Raw fat, by weight',
    required,
    example: '4 lb 8 oz',
    least: { value: LEAST_FAT_G, words: '28 g (1 oz)' },
  });

export const tallowWeight = <R extends boolean>(required: R) =>
  weight({
    description: 'Tallow it gave, by weight',
    required,
    example: '2 lb 2 oz',
    least: { value: 0, exclusive: true, words: 'nothing' },
  });

export const waterVolume = (description: string, orNone = true) =>
  amountOf({
    description,
    units: VOLUME_UNITS,
    bare: ['cups', 'L'],
    example: '14 cups',
    least: { value: 0, exclusive: !orNone, words: 'nothing' },
    most: { value: 2_000_000, words: '2000 L' },
  });

/** To the brim. Read so where the name of a vessel could stand as well. */
export const vesselVolume = amountOf({
  description: 'How much the vessel holds to the brim',
  units: VOLUME_UNITS,
  bare: ['qt', 'L'],
  example: '8 qt',
  least: { value: SMALLEST_VESSEL_ML * (1 - 1e-9), words: '1 qt (0.95 L)' },
  most: { value: LARGEST_VESSEL_ML, words: '200 L (211 qt)' },
});

/** A jar may be named by its size alone: "pint", "half pint". */
export const jarVolume = (): Option<number, false> => {
  const read = amountOf({
    description: 'Size of the jars; a pint unless said',
    units: VOLUME_UNITS,
    bare: ['cups', 'ml'],
    example: '1 pt',
    least: { value: 50, words: '50 ml' },
    most: { value: 20_000, words: '20 L' },
  });
  const isUnit = (text: string) => /^\s*\p{L}/u.test(text) && parseQuantity(`1 ${text}`, VOLUME_UNITS).ok;
  return { ...read, parse: (text) => read.parse(isUnit(text) ? `1 ${text}` : text) };
};

/** In °C. */
const startTemperature = (description: string, lowC: number, lowWords: string) =>
  amountOf({
    description,
    units: TEMPERATURE_UNITS,
    bare: ['°F', '°C'],
    example: '40 °F',
    least: { value: lowC, words: lowWords },
    most: { value: START_C.high, words: '95 °C (203 °F)' },
  });

/** A number, with at most one sign of a currency before or after it; a cent sign would mean hundredths. */
const PRICE = /^(?!.*¢)(?:\p{Sc}\s*)?(\d+(?:[.,]\d+)?)$|^(?!.*¢)(\d+(?:[.,]\d+)?)\s*\p{Sc}$/u;

/** Price of a kilowatt-hour in whatever money the cook pays in. */
const price: Option<number, false> = {
  description: 'Price of a kilowatt-hour, in your money',
  required: false,
  entry: { kind: 'text', maxLength: 20 },
  example: '0.17',
  suggests: false,
  parse: (text) => {
    const [, before, after] = PRICE.exec(text.trim()) ?? [];
    const value = Number((before ?? after)?.replace(',', '.'));
    return value <= 1000
      ? parsed(value)
      : unreadable(`“${shorten(oneLine(text))}” is not a price from 0 to 1000. For example: 0.17.`);
  },
};

export const rawFat = () =>
  choice({
    description: 'What the fat is',
    required: false,
    choices: [
      { value: 'trimmings', label: 'Trimmings' },
      { value: 'suet', label: 'Suet, from around the kidney' },
    ],
  });

/** A time that a batch takes, in minutes; a bare number is in `bare`. Hours may be written "2h30" or "2:30". */
function duration(description: string, bare: 'min' | 'h', example: string): Option<number, false> {
  const read = amountOf({
    description,
    units: DURATION_UNITS,
    bare,
    example,
    least: { value: 0, exclusive: true, words: 'no time at all' },
    most: { value: SEVERAL_DAYS_MINUTES, words: '7 days' },
  });
  return { ...read, parse: (text) => read.parse(text.replace(HOURS_AND_MINUTES, '$1 h $2 min')) };
}

const HOURS_AND_MINUTES = /^\s*(\d{1,3})\s*(?:h|:)\s*([0-5]\d)\s*$/i;

export const minutes = (description = 'How long it rendered; a bare number is minutes') =>
  duration(description, 'min', '2 h 30 min');

/** In minutes, a bare number being hours. */
export const hours = (description: string) => duration(description, 'h', '3 h');

export const method = <R extends boolean>(required: R) =>
  choice({ description: 'How it is rendered', required, choices: METHODS });

export const cut = <R extends boolean>(required: R) =>
  choice({ description: 'How the fat is cut', required, choices: CUTS });

export const smokeStrength = (description: string) =>
  choice({
    description,
    required: false,
    choices: SMOKE_STRENGTHS.map((value) => ({
      value,
      label: capitalise(value),
    })),
  });

export const unitSystem = (what = 'the answer') =>
  choice({
    description: `Units for ${what}; both unless chosen`,
    required: false,
    choices: [
      { value: 'us', label: 'US: pounds, cups, °F' },
      { value: 'metric', label: 'Metric: kilograms, litres, °C' },
    ],
  });

export const since = () =>
  words({
    description: 'Count batches from this day on',
    required: false,
    maxLength: 40,
    example: '2026-01-01',
  });

export const channelToPostIn = () => channel({ description: 'Where the weekly post goes', required: true });

/** An amount in grams or in millilitres, whichever was meant. */
export type Amount = { readonly g: number } | { readonly ml: number };

/** In grams; a volume of it weighs `gPerMl`. */
export const gramsOf = (amount: Amount, gPerMl: number): number =>
  'g' in amount ? amount.g : amount.ml * gPerMl;

/** An amount by weight or by volume. A stick is a weight, a plain ounce too. */
export const amount = <const R extends boolean>(spec: {
  readonly description: string;
  readonly required: R;
  readonly example: string;
  /** Zero is an amount. */
  readonly orNone?: boolean;
}): Option<Amount, R> => {
  const least = { value: 0, exclusive: spec.orNone !== true, words: 'nothing' };
  const bounds = { ...spec, least, bare: ['cups', 'g'] } as const;
  const byWeight = quantity({ ...bounds, units: MASS_UNITS, most: MOST_WEIGHT });
  const byVolume = quantity({
    ...bounds,
    units: VOLUME_UNITS,
    most: { value: MOST_FAT_G, words: '500 L' },
  });
  return {
    ...byWeight,
    parse: (text) => {
      const asWeight = parseQuantity(text, MASS_UNITS);
      if (asWeight.ok || asWeight.kind === 'ambiguous mark') {
        const read = byWeight.parse(text);
        return read.ok ? parsed({ g: read.value }) : read;
      }
      const read = byVolume.parse(text);
      return read.ok ? parsed({ ml: read.value }) : read;
    },
  };
};

/** An amount of tallow; a volume of it is as poured. */
export const tallowAmount = <const R extends boolean>(required: R, description: string) =>
  amount({ description, required, example: '6 cups' });

/** What can be said of a render besides how much of what; everything may be left out. */
export const RENDER_OPTIONS = {
  method: method(false),
  cut: cut(false),
  minutes: minutes('How long it will render; a bare number is minutes'),
  /** In metres above the sea. */
  altitude: amountOf({
    description: 'How high above the sea the kitchen is',
    units: LENGTH_UNITS,
    bare: ['ft', 'm'],
    example: '5280 ft',
    least: { value: KITCHEN_ALTITUDE_M.low, words: '-500 m (-1640 ft)' },
    most: { value: KITCHEN_ALTITUDE_M.high, words: '6000 m (19685 ft)' },
  }),
  /** In kilopascals. */
  gauge: amountOf({
    description: 'Pressure on the gauge of a pressure cooker',
    units: PRESSURE_UNITS,
    bare: ['psi', 'kPa'],
    example: '10 psi',
    least: { value: 0, words: 'nothing' },
    most: { value: HIGHEST_GAUGE_KPA, words: '20 psi (138 kPa)' },
  }),
  lid: choice({
    description: 'The lid while it renders',
    required: false,
    choices: [
      { value: 'on', label: 'On' },
      { value: 'ajar', label: 'Ajar' },
      { value: 'off', label: 'Off' },
    ],
  }),
  /** By its name in the kit, or by its size. */
  vessel: words({
    description: 'The pot or cooker: its name in your kit, or its size',
    required: false,
    maxLength: 60,
    example: '12 qt',
    suggests: true,
  }),
  /** In metres. */
  diameter: amountOf({
    description: 'How wide the pot is inside',
    units: LENGTH_UNITS,
    bare: ['in', 'cm'],
    example: '11 in',
    least: { value: 0.05, words: '5 cm (2 in)' },
    most: { value: 1.5, words: '150 cm (59 in)' },
  }),
  /** In watts. */
  burner: amountOf({
    description: 'Power of the burner at full',
    units: POWER_UNITS,
    bare: ['W', 'BTU/h'],
    example: '1800 W',
    least: { value: 100, words: '100 W' },
    most: { value: 100_000, words: '100000 W' },
  }),
  'burner-kind': choice({
    description: 'What kind of burner',
    required: false,
    choices: [
      { value: 'gas', label: 'Gas stove' },
      { value: 'electric', label: 'Electric stove' },
      { value: 'induction', label: 'Induction stove' },
      { value: 'outdoor gas', label: 'Outdoor gas burner' },
    ],
  }),
  'fat-temperature': startTemperature('How cold the fat goes in', START_C.low, '-30 °C (-22 °F)'),
  'water-temperature': startTemperature('How warm the water goes in', 0, '0 °C (32 °F)'),
  price,
  kind: rawFat(),
  /** As a fraction. All lean would be no fat. */
  lean: percentage({
    description: 'Lean meat left on the fat, as a share of the weight',
    required: false,
    leastPercent: 0,
    mostPercent: 90,
    example: '10 %',
  }),
  unit: unitSystem(),
} as const;

export type RenderOptions = Partial<ValuesOf<typeof RENDER_OPTIONS>>;

/** Taken where neither the cook nor their kit says otherwise. */
export const ASSUMED = {
  method: 'open-pot',
  cut: 'ground',
  altitudeM: 0,
  /** Near 240 °F at sea level, where common practice has it. */
  gaugeKPa: 10 * KPA_PER_PSI,
  fatStartC: 4,
  waterStartC: 20,
  rawFat: 'trimmings',
} as const;
