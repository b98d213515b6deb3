/**
 * Units of measure with their exact factors, and every spelling of them that people type.
 * Factors: NIST Special Publication 811 (Appendix B) and NIST Handbook 44 (Appendix C) unless a comment says otherwise.
 */

/**
 * One unit of a dimension. Value in the base unit = number × toBase + offset.
 * Two amounts may be written one after the other ("4 lb 8 oz") only when their units share a family.
 */
export interface UnitOfMeasure {
  /** All spellings, without regard to case; the first is the one to show. */
  readonly names: readonly string[];
  readonly toBase: number;
  readonly offset?: number;
  /** Cooks write thousands of it and never thousandths. */
  readonly isWrittenInThousands?: boolean;
  readonly family: string;
}

export type UnitsOfMeasure = readonly UnitOfMeasure[];

export const G_PER_LB = 453.59237;
export const G_PER_OZ = G_PER_LB / 16;

/** 231 cubic inches. */
export const ML_PER_US_GALLON = 3785.411784;
export const ML_PER_US_QUART = ML_PER_US_GALLON / 4;
export const ML_PER_US_PINT = ML_PER_US_GALLON / 8;
export const ML_PER_US_CUP = ML_PER_US_GALLON / 16;
export const ML_PER_US_FL_OZ = ML_PER_US_GALLON / 128;
export const ML_PER_US_TBSP = ML_PER_US_GALLON / 256;
export const ML_PER_US_TSP = ML_PER_US_GALLON / 768;

export const ML_PER_IMPERIAL_GALLON = 4546.09;

/** A US stick of butter: 4 oz, sold as half a cup. */
export const G_PER_BUTTER_STICK = 4 * G_PER_OZ;
export const ML_PER_BUTTER_STICK = ML_PER_US_CUP / 2;

export const M_PER_FT = 0.3048;
export const M_PER_INCH = 0.0254;

/** lbf/in²: the pound, standard gravity and the inch are all exact, so only the last digits are rounded. */
export const KPA_PER_PSI = (G_PER_LB / 1000) * 9.80665 * (1 / M_PER_INCH ** 2) * 1e-3;

/** International Table Btu an hour. */
export const W_PER_BTU_PER_HOUR = 1055.05585262 / 3600;

/** Base unit: gram. */
export const MASS_UNITS: UnitsOfMeasure = [
  { names: ['lb', 'lbs', '#', 'pound', 'pounds', '℔'], toBase: G_PER_LB, family: 'avoirdupois' },
  { names: ['oz', 'ozs', 'ounce', 'ounces', '℥'], toBase: G_PER_OZ, family: 'avoirdupois' },
  {
    names: ['stick', 'sticks', 'stick of butter', 'sticks of butter', 'butter stick', 'butter sticks'],
    toBase: G_PER_BUTTER_STICK,
    family: 'avoirdupois',
  },
  {
    names: ['kg', 'kgs', 'kilo', 'kilos', 'kilogram', 'kilograms', 'kilogramme', 'kilogrammes', '㎏'],
    toBase: 1000,
    family: 'metric',
  },
  {
    names: ['g', 'gs', 'gr', 'gm', 'gms', 'gram', 'grams', 'gramme', 'grammes'],
    toBase: 1,
    isWrittenInThousands: true,
    family: 'metric',
  },
  {
    names: ['mg', 'mgs', 'milligram', 'milligrams', 'milligramme', 'milligrammes', '㎎'],
    toBase: 0.001,
    family: 'metric',
  },
];

/**
 * Base unit: millilitre. A plain cup, pint or spoon is the US customary one. A plain "oz" is left out on purpose:
 * it is a weight, and a fluid ounce of fat does not weigh an ounce.
 */
export const VOLUME_UNITS: UnitsOfMeasure = [
  {
    names: ['gal', 'gals', 'gallon', 'gallons', 'us gal', 'us gallon', 'us gallons'],
    toBase: ML_PER_US_GALLON,
    family: 'us',
  },
  {
    names: ['qt', 'qts', 'quart', 'quarts', 'us qt', 'us quart', 'us quarts'],
    toBase: ML_PER_US_QUART,
    family: 'us',
  },
  {
    names: ['pt', 'pts', 'pint', 'pints', 'us pt', 'us pint', 'us pints'],
    toBase: ML_PER_US_PINT,
    family: 'us',
  },
  { names: ['cup', 'cups', 'c', 'us cup', 'us cups'], toBase: ML_PER_US_CUP, family: 'us' },
  {
    names: ['stick', 'sticks', 'stick of butter', 'sticks of butter', 'butter stick', 'butter sticks'],
    toBase: ML_PER_BUTTER_STICK,
    family: 'us',
  },
  {
    names: [
      'fl oz',
      'fl. oz',
      'floz',
      'fluid oz',
      'fluid ounce',
      'fluid ounces',
      'us fl oz',
      'us fluid ounce',
      'us fluid ounces',
    ],
    toBase: ML_PER_US_FL_OZ,
    family: 'us',
  },
  {
    names: [
      'tbsp',
      'tbsps',
      'tbs',
      'tbl',
      'tblsp',
      'tablespoon',
      'tablespoons',
      'us tbsp',
      'us tablespoon',
      'us tablespoons',
    ],
    toBase: ML_PER_US_TBSP,
    family: 'us',
  },
  {
    names: ['tsp', 'tsps', 'teaspoon', 'teaspoons', 'us tsp', 'us teaspoon', 'us teaspoons'],
    toBase: ML_PER_US_TSP,
    family: 'us',
  },
  {
    names: ['L', 'ltr', 'ltrs', 'lt', 'liter', 'liters', 'litre', 'litres', 'ℓ'],
    toBase: 1000,
    family: 'metric',
  },
  {
    names: ['dl', 'dL', 'deciliter', 'deciliters', 'decilitre', 'decilitres', '㎗'],
    toBase: 100,
    family: 'metric',
  },
  {
    names: ['cl', 'centiliter', 'centiliters', 'centilitre', 'centilitres'],
    toBase: 10,
    family: 'metric',
  },
  {
    names: [
      'ml',
      'mls',
      'milliliter',
      'milliliters',
      'millilitre',
      'millilitres',
      'cc',
      'ccs',
      'cm3',
      'cm³',
      '㎖',
    ],
    toBase: 1,
    isWrittenInThousands: true,
    family: 'metric',
  },
  // Metric kitchen measures are conventions, not standards: 250, 20 and 15, and 5 mL.
  { names: ['metric cup', 'metric cups'], toBase: 250, family: 'metric' },
  {
    names: ['australian tbsp', 'australian tablespoon', 'australian tablespoons'],
    toBase: 20,
    family: 'metric',
  },
  { names: ['metric tbsp', 'metric tablespoon', 'metric tablespoons'], toBase: 15, family: 'metric' },
  { names: ['metric tsp', 'metric teaspoon', 'metric teaspoons'], toBase: 5, family: 'metric' },
  {
    names: [
      'imperial gal',
      'imp gal',
      'uk gal',
      'imperial gallon',
      'imperial gallons',
      'uk gallon',
      'uk gallons',
    ],
    toBase: ML_PER_IMPERIAL_GALLON,
    family: 'imperial',
  },
  {
    names: ['imperial qt', 'imp qt', 'uk qt', 'imperial quart', 'imperial quarts', 'uk quart', 'uk quarts'],
    toBase: ML_PER_IMPERIAL_GALLON / 4,
    family: 'imperial',
  },
  {
    names: ['imperial pt', 'imp pt', 'uk pt', 'imperial pint', 'imperial pints', 'uk pint', 'uk pints'],
    toBase: ML_PER_IMPERIAL_GALLON / 8,
    family: 'imperial',
  },
  {
    names: ['imperial cup', 'imperial cups', 'uk cup', 'uk cups'],
    toBase: ML_PER_IMPERIAL_GALLON / 16,
    family: 'imperial',
  },
  {
    names: [
      'imperial fl oz',
      'imp fl oz',
      'uk fl oz',
      'imperial fluid ounce',
      'imperial fluid ounces',
      'uk fluid ounce',
      'uk fluid ounces',
    ],
    toBase: ML_PER_IMPERIAL_GALLON / 160,
    family: 'imperial',
  },
];

/** Base unit: metre. */
export const LENGTH_UNITS: UnitsOfMeasure = [
  { names: ['mi', 'mile', 'miles'], toBase: 1609.344, family: 'us' },
  { names: ['yd', 'yds', 'yard', 'yards'], toBase: 0.9144, family: 'us' },
  { names: ['ft', 'feet', 'foot', "'", '′', '’'], toBase: M_PER_FT, family: 'us' },
  { names: ['in', 'ins', 'inch', 'inches', '"', '″', '”', "''"], toBase: M_PER_INCH, family: 'us' },
  {
    names: ['km', 'kms', 'kilometer', 'kilometers', 'kilometre', 'kilometres', '㎞'],
    toBase: 1000,
    family: 'metric',
  },
  { names: ['m', 'meter', 'meters', 'metre', 'metres'], toBase: 1, family: 'metric' },
  {
    names: ['cm', 'cms', 'centimeter', 'centimeters', 'centimetre', 'centimetres', '㎝'],
    toBase: 0.01,
    family: 'metric',
  },
  {
    names: ['mm', 'millimeter', 'millimeters', 'millimetre', 'millimetres', '㎜'],
    toBase: 0.001,
    family: 'metric',
  },
];

/** Base unit: degree Celsius. Each has an offset, so temperatures never add up. */
export const TEMPERATURE_UNITS: UnitsOfMeasure = [
  {
    names: [
      '°F',
      'F',
      '℉',
      'ºF',
      '˚F',
      '° F',
      'deg F',
      'degF',
      'degrees F',
      'degree F',
      'fahrenheit',
      '° fahrenheit',
      'degrees fahrenheit',
    ],
    toBase: 5 / 9,
    offset: -160 / 9,
    family: 'temperature',
  },
  {
    names: [
      '°C',
      'C',
      '℃',
      'ºC',
      '˚C',
      '° C',
      'deg C',
      'degC',
      'degrees C',
      'degree C',
      'celsius',
      'centigrade',
      '° celsius',
      'degrees celsius',
      'degrees centigrade',
    ],
    toBase: 1,
    offset: 0,
    family: 'temperature',
  },
  { names: ['K', 'kelvin', 'kelvins'], toBase: 1, offset: -273.15, family: 'temperature' },
];

/** Base unit: kilopascal. */
export const PRESSURE_UNITS: UnitsOfMeasure = [
  {
    names: ['psi', 'psig', 'lb/in2', 'lb/in²', 'lbs/in²', 'pounds per square inch', 'pounds pressure'],
    toBase: KPA_PER_PSI,
    family: 'psi',
  },
  { names: ['kPa', 'kilopascal', 'kilopascals', '㎪'], toBase: 1, family: 'pascal' },
  { names: ['hPa', 'hectopascal', 'hectopascals'], toBase: 0.1, family: 'pascal' },
  { names: ['Pa', 'pascal', 'pascals'], toBase: 0.001, family: 'pascal' },
  { names: ['bar', 'bars'], toBase: 100, family: 'bar' },
  { names: ['mbar', 'mbars', 'millibar', 'millibars'], toBase: 0.1, family: 'bar' },
  { names: ['atm', 'atmosphere', 'atmospheres'], toBase: 101.325, family: 'atmosphere' },
  // Conventional inch of mercury at 0 °C.
  { names: ['inHg', 'in Hg', 'inches of mercury', 'inch of mercury'], toBase: 3.386389, family: 'mercury' },
];

/** Base unit: watt. */
export const POWER_UNITS: UnitsOfMeasure = [
  { names: ['kW', 'kilowatt', 'kilowatts', '㎾'], toBase: 1000, family: 'watt' },
  { names: ['W', 'watt', 'watts'], toBase: 1, family: 'watt' },
  {
    names: [
      'BTU/h',
      'BTU/hr',
      'BTU/hour',
      'BTU per hour',
      'BTU an hour',
      'BTUs per hour',
      'BTUs/hr',
      'BTUs/h',
      'BTUh',
      'BTU',
      'BTUs',
    ],
    toBase: W_PER_BTU_PER_HOUR,
    family: 'btu',
  },
  { names: ['kBTU/h', 'kBTU/hr', 'kBTU', 'kBTUs', 'MBH'], toBase: 1000 * W_PER_BTU_PER_HOUR, family: 'btu' },
];

/** Base unit: minute. */
export const DURATION_UNITS: UnitsOfMeasure = [
  { names: ['wk', 'wks', 'week', 'weeks'], toBase: 10_080, family: 'time' },
  { names: ['d', 'day', 'days'], toBase: 1440, family: 'time' },
  { names: ['h', 'hr', 'hrs', 'hour', 'hours'], toBase: 60, family: 'time' },
  { names: ['min', 'mins', 'm', 'minute', 'minutes'], toBase: 1, family: 'time' },
  { names: ['s', 'sec', 'secs', 'second', 'seconds'], toBase: 1 / 60, family: 'time' },
];

export function celsiusFromFahrenheit(temperatureF: number): number {
  return ((temperatureF - 32) * 5) / 9;
}

export function fahrenheitFromCelsius(temperatureC: number): number {
  return temperatureC * 1.8 + 32;
}
