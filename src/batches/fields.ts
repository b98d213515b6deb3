import { DateTime } from 'luxon';
import { z } from 'zod';
import type { Option } from '../chat/option.js';
import * as option from '../kitchen/options.js';
import { minutesWords, volumeWords, weightWords } from '../words/amounts.js';
import { CUTS, cutLabel, METHODS, methodLabel } from '../words/methods.js';
import { dayWords } from '../words/moments.js';
import { G_PER_OZ } from '../words/units.js';
import { percentWords } from '../words/yield-words.js';
import { date, note, TASTE_WORDS, taste, WEIGHED_AS, weighedAs } from './options.js';

/** One fact of a batch and everything that is done with it. */
export interface Field<
  T = unknown,
  Name extends string = string,
  Column extends string = string,
  Clearable extends boolean = boolean,
  Asked extends Option<unknown> = Option<unknown>,
> {
  /** As the column holds it, and as JSON does. */
  readonly stored: z.ZodType<T>;
  readonly column: Column;
  /** Its option in `/batch log` and `/batch correct`. */
  readonly name: Name;
  readonly option: Asked;
  /** Whether a batch need not say it, so that it can be taken out again. */
  readonly clearable: Clearable;
  /** What the column holds where nothing is said; null unless given. */
  readonly ifNone?: readonly never[];
  /** Whether `/batch list` can be narrowed to one value of it. */
  readonly narrows?: true;
  /** Whether a table that is analysed may say it, in a column of its name. */
  readonly inTable?: true;
  readonly label: string;
  /** Its place among the lines of `/batch show`. */
  readonly place: number;
  words(value: T, zone: string): string;
  /** How the history tells it, where not by `words`. */
  historyWords?(value: T, zone: string): string;
  /** What the history says for nothing; “none” unless given. */
  readonly historyNone?: string;
  /** Tells two values apart in the history that are spelt alike. */
  finely?(before: T, after: T, zone: string): string;
  /** What to type to say the same. The form of a correction asks for each fact that has this; it holds five. */
  typed?(value: T): string;
  /** How the form asks for it, where not as its option does. */
  readonly inForm?: { readonly description: string; readonly example?: string };
}

/** A field as it is; TypeScript keeps the type of its value and how it is named. */
const field = <
  T,
  const Name extends string,
  const Column extends string,
  const Clearable extends boolean,
  Asked extends Option<unknown>,
>(
  one: Field<T, Name, Column, Clearable, Asked>,
) => one;

const number = z.number();
const WEIGHT = {
  stored: number,
  words: (grams: number) => weightWords(grams),
  finely: toldApart('g'),
  typed: weightAsTyped,
} as const;
const VOLUME = {
  stored: number,
  words: (ml: number) => volumeWords(ml),
  finely: toldApart('ml'),
} as const;
const instant = z.union([z.date(), z.iso.datetime().transform((text) => new Date(text))]);

/** The facts of a batch, in the order in which they are asked for. Nothing else lists them. */
export const FIELDS = {
  fatG: field({
    ...WEIGHT,
    column: 'fat_g',
    name: 'fat',
    option: option.fatWeight(true),
    clearable: false,
    label: 'Raw fat',
    place: 40,
  }),
  tallowG: field({
    ...WEIGHT,
    column: 'tallow_g',
    name: 'tallow',
    option: option.tallowWeight(true),
    clearable: false,
    label: 'Tallow',
    place: 50,
  }),
  method: field({
    stored: z.enum(METHODS.map(({ value }) => value)),
    column: 'method',
    name: 'method',
    option: option.method(true),
    clearable: false,
    narrows: true,
    label: 'Method',
    place: 20,
    words: methodLabel,
  }),
  cut: field({
    stored: z.enum(CUTS.map(({ value }) => value)),
    column: 'cut',
    name: 'cut',
    option: option.cut(true),
    clearable: false,
    narrows: true,
    label: 'Cut',
    place: 30,
    words: cutLabel,
  }),
  kind: field({
    stored: z.enum(['trimmings', 'suet']),
    column: 'kind',
    name: 'kind',
    option: option.RENDER_OPTIONS.kind,
    clearable: true,
    narrows: true,
    inTable: true,
    label: 'Kind of fat',
    place: 32,
    words: (kind) => kind,
    historyNone: 'not said',
  }),
  leanFraction: field({
    stored: number,
    column: 'lean_fraction',
    name: 'lean',
    option: option.RENDER_OPTIONS.lean,
    clearable: true,
    inTable: true,
    label: 'Lean',
    place: 34,
    words: (fraction) => percentWords(fraction),
    historyNone: 'not said',
    finely: (before, after) => toldApart('%')(before * 100, after * 100),
  }),
  waterMl: field({
    ...VOLUME,
    column: 'water_ml',
    name: 'water',
    option: option.waterVolume('Water it started with'),
    clearable: true,
    label: 'Water',
    place: 70,
  }),
  minutes: field({
    stored: number,
    column: 'minutes',
    name: 'minutes',
    option: option.minutes(),
    clearable: true,
    label: 'Time',
    place: 90,
    words: minutesWords,
    finely: toldApart('min'),
    typed: (minutes) => `${trimmed(minutes)} min`,
    inForm: { description: 'Rendering time; a bare number is minutes' },
  }),
  waterLeftMl: field({
    ...VOLUME,
    column: 'water_left_ml',
    name: 'water-left',
    option: option.waterVolume('Water left at the end'),
    clearable: true,
    label: 'Water left',
    place: 80,
  }),
  weighedAs: field({
    stored: z.enum(WEIGHED_AS),
    column: 'weighed_as',
    name: 'weighed-as',
    option: weighedAs(),
    clearable: true,
    label: 'Weighed as',
    place: 60,
    words: (state) => state,
    historyNone: 'not said',
  }),
  finishedAt: field({
    stored: instant,
    column: 'finished_at',
    name: 'date',
    option: date('The day it was weighed; today unless said'),
    clearable: false,
    label: 'Day',
    place: 10,
    words: dayWords,
    historyWords: (at, zone) => moment(at, zone, 'yyyy-MM-dd'),
    finely: (before, after, zone) =>
      [before, after].map((at) => moment(at, zone, 'yyyy-MM-dd HH:mm:ss')).join(' → '),
  }),
  taste: field({
    stored: z.array(z.string()),
    column: 'taste',
    name: 'taste',
    option: taste(),
    clearable: true,
    ifNone: [],
    label: 'Taste',
    place: 100,
    words: (tastes) => tastes.join(', '),
    historyNone: 'not said',
    typed: (tastes) => tastes.join(', '),
    inForm: { description: 'How it tastes', example: TASTE_WORDS },
  }),
  note: field({
    stored: z.string(),
    column: 'note',
    name: 'note',
    option: note(),
    clearable: true,
    label: 'Note',
    place: 110,
    words: (text) => text,
    historyWords: (text) => `“${text}”`,
    typed: (text) => text,
    inForm: { description: 'Anything worth remembering, on one line' },
  }),
} satisfies { readonly [fact: string]: Field };

type Fields = typeof FIELDS;
export type FactName = keyof Fields;
export type OptionName = Fields[FactName]['name'];
export type FactColumn = Fields[FactName]['column'];

/** What a member says of a finished batch. */
export type BatchFacts = {
  readonly [F in FactName]: Fields[F]['clearable'] extends true
    ? z.output<Fields[F]['stored']> | undefined
    : z.output<Fields[F]['stored']>;
};

const MOST_DECIMALS = 12;

/** Two numbers with as many decimals as it takes to see that they differ. */
function toldApart(unit: string): (before: number, after: number) => string {
  return (before, after) => {
    let decimals = 0;
    while (before.toFixed(decimals) === after.toFixed(decimals) && decimals < MOST_DECIMALS) decimals++;
    return [before, after].map((value) => `${Number(value.toFixed(decimals))} ${unit}`).join(' → ');
  };
}

const moment = (at: Date, zone: string, format: string): string =>
  DateTime.fromJSDate(at, { zone }).toFormat(format);

const trimmed = (value: number): string => String(Number(value.toFixed(1)));

/** Only what arithmetic leaves over. */
const SAME_G = 1e-6;

/** A weight in the units it was given in, which show: none in pounds and ounces is a round number of grams. */
function weightAsTyped(grams: number): string {
  const hundredthsOfOunce = Math.round((grams / G_PER_OZ) * 100);
  const isInOunces =
    Math.abs((hundredthsOfOunce / 100) * G_PER_OZ - grams) < SAME_G &&
    Math.abs(Math.round(grams * 10) / 10 - grams) > SAME_G;
  if (!isInOunces) return `${trimmed(grams)} g`;
  const pounds = Math.floor(hundredthsOfOunce / 1600);
  const ounces = (hundredthsOfOunce % 1600) / 100;
  return [...(pounds > 0 ? [`${pounds} lb`] : []), ...(ounces > 0 ? [`${ounces} oz`] : [])].join(' ');
}
