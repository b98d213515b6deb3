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

/** `names` are set apart by commas. */
function unit(
  names: string,
  toBase: number,
  family: string,
  more: Pick<UnitOfMeasure, 'offset' | 'isWrittenInThousands'> = {},
): UnitOfMeasure {
  return { names: names.split(', '), toBase, family, ...more };
}

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
  unit('lb, lbs, #, pound, pounds, ℔', G_PER_LB, 'avoirdupois'),
  unit('oz, ozs, ounce, ounces, ℥', G_PER_OZ, 'avoirdupois'),
  unit(
    'stick, sticks, stick of butter, sticks of butter, butter stick, butter sticks',
    G_PER_BUTTER_STICK,
    'avoirdupois',
  ),
  unit('kg, kgs, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes, ㎏', 1000, 'metric'),
  unit('g, gs, gr, gm, gms, gram, grams, gramme, grammes', 1, 'metric', { isWrittenInThousands: true }),
  unit('mg, mgs, milligram, milligrams, milligramme, milligrammes, ㎎', 0.001, 'metric'),
];

/**
 * Base unit: millilitre. A plain cup, pint or spoon is the US customary one. A plain "oz" is left out on purpose:
 * it is a weight, and a fluid ounce of fat does not weigh an ounce.
 */
export const VOLUME_UNITS: UnitsOfMeasure = [
  unit('gal, gals, gallon, gallons, us gal, us gallon, us gallons', ML_PER_US_GALLON, 'us'),
  unit('qt, qts, quart, quarts, us qt, us quart, us quarts', ML_PER_US_QUART, 'us'),
  unit('pt, pts, pint, pints, us pt, us pint, us pints', ML_PER_US_PINT, 'us'),
  unit('cup, cups, c, us cup, us cups', ML_PER_US_CUP, 'us'),
  unit(
    'stick, sticks, stick of butter, sticks of butter, butter stick, butter sticks',
    ML_PER_BUTTER_STICK,
    'us',
  ),
  unit(
    'fl oz, fl. oz, floz, fluid oz, fluid ounce, fluid ounces, us fl oz, us fluid ounce, us fluid ounces',
    ML_PER_US_FL_OZ,
    'us',
  ),
  unit(
    'tbsp, tbsps, tbs, tbl, tblsp, tablespoon, tablespoons, us tbsp, us tablespoon, us tablespoons',
    ML_PER_US_TBSP,
    'us',
  ),
  unit('tsp, tsps, teaspoon, teaspoons, us tsp, us teaspoon, us teaspoons', ML_PER_US_TSP, 'us'),
  unit('L, ltr, ltrs, lt, liter, liters, litre, litres, ℓ', 1000, 'metric'),
  unit('dl, dL, deciliter, deciliters, decilitre, decilitres, ㎗', 100, 'metric'),
  unit('cl, centiliter, centiliters, centilitre, centilitres', 10, 'metric'),
  unit('ml, mls, milliliter, milliliters, millilitre, millilitres, cc, ccs, cm3, cm³, ㎖', 1, 'metric', {
    isWrittenInThousands: true,
  }),
  // Metric kitchen measures are conventions, not standards: 250, 20 and 15, and 5 mL.
  unit('metric cup, metric cups', 250, 'metric'),
  unit('australian tbsp, australian tablespoon, australian tablespoons', 20, 'metric'),
  unit('metric tbsp, metric tablespoon, metric tablespoons', 15, 'metric'),
  unit('metric tsp, metric teaspoon, metric teaspoons', 5, 'metric'),
  unit(
    'imperial gal, imp gal, uk gal, imperial gallon, imperial gallons, uk gallon, uk gallons',
    ML_PER_IMPERIAL_GALLON,
    'imperial',
  ),
  unit(
    'imperial qt, imp qt, uk qt, imperial quart, imperial quarts, uk quart, uk quarts',
    ML_PER_IMPERIAL_GALLON / 4,
    'imperial',
  ),
  unit(
    'imperial pt, imp pt, uk pt, imperial pint, imperial pints, uk pint, uk pints',
    ML_PER_IMPERIAL_GALLON / 8,
    'imperial',
  ),
  unit('imperial cup, imperial cups, uk cup, uk cups', ML_PER_IMPERIAL_GALLON / 16, 'imperial'),
  unit(
    'imperial fl oz, imp fl oz, uk fl oz, imperial fluid ounce, imperial fluid ounces, uk fluid ounce, uk fluid ounces',
    ML_PER_IMPERIAL_GALLON / 160,
    'imperial',
  ),
];

/** Base unit: metre. */
export const LENGTH_UNITS: UnitsOfMeasure = [
  unit('mi, mile, miles', 1609.344, 'us'),
  unit('yd, yds, yard, yards', 0.9144, 'us'),
  unit("ft, feet, foot, ', ′, ’", M_PER_FT, 'us'),
  unit(`in, ins, inch, inches, ", ″, ”, ''`, M_PER_INCH, 'us'),
  unit('km, kms, kilometer, kilometers, kilometre, kilometres, ㎞', 1000, 'metric'),
  unit('m, meter, meters, metre, metres', 1, 'metric'),
  unit('cm, cms, centimeter, centimeters, centimetre, centimetres, ㎝', 0.01, 'metric'),
  unit('mm, millimeter, millimeters, millimetre, millimetres, ㎜', 0.001, 'metric'),
];

/** Base unit: degree Celsius. Each has an offset, so temperatures never add up. */
export const TEMPERATURE_UNITS: UnitsOfMeasure = [
  unit(
    '°F, F, ℉, ºF, ˚F, ° F, deg F, degF, degrees F, degree F, fahrenheit, ° fahrenheit, degrees fahrenheit',
    5 / 9,
    'temperature',
    { offset: -160 / 9 },
  ),
  unit(
    '°C, C, ℃, ºC, ˚C, ° C, deg C, degC, degrees C, degree C, celsius, centigrade, ° celsius, degrees celsius, degrees centigrade',
    1,
    'temperature',
    { offset: 0 },
  ),
  unit('K, kelvin, kelvins', 1, 'temperature', { offset: -273.15 }),
];

/** Base unit: kilopascal. */
export const PRESSURE_UNITS: UnitsOfMeasure = [
  unit('psi, psig, lb/in2, lb/in², lbs/in², pounds per square inch, pounds pressure', KPA_PER_PSI, 'psi'),
  unit('kPa, kilopascal, kilopascals, ㎪', 1, 'pascal'),
  unit('hPa, hectopascal, hectopascals', 0.1, 'pascal'),
  unit('Pa, pascal, pascals', 0.001, 'pascal'),
  unit('bar, bars', 100, 'bar'),
  unit('mbar, mbars, millibar, millibars', 0.1, 'bar'),
  unit('atm, atmosphere, atmospheres', 101.325, 'atmosphere'),
  // Conventional inch of mercury at 0 °C.
  unit('inHg, in Hg, inches of mercury, inch of mercury', 3.386389, 'mercury'),
];

/** Base unit: watt. */
export const POWER_UNITS: UnitsOfMeasure = [
  unit('kW, kilowatt, kilowatts, ㎾', 1000, 'watt'),
  unit('W, watt, watts', 1, 'watt'),
  unit(
    'BTU/h, BTU/hr, BTU/hour, BTU per hour, BTU an hour, BTUs per hour, BTUs/hr, BTUs/h, BTUh, BTU, BTUs',
    W_PER_BTU_PER_HOUR,
    'btu',
  ),
  unit('kBTU/h, kBTU/hr, kBTU, kBTUs, MBH', 1000 * W_PER_BTU_PER_HOUR, 'btu'),
];

/** Base unit: minute. */
export const DURATION_UNITS: UnitsOfMeasure = [
  unit('wk, wks, week, weeks', 10_080, 'time'),
  unit('d, day, days', 1440, 'time'),
  unit('h, hr, hrs, hour, hours', 60, 'time'),
  unit('min, mins, m, minute, minutes', 1, 'time'),
  unit('s, sec, secs, second, seconds', 1 / 60, 'time'),
];

export function celsiusFromFahrenheit(temperatureF: number): number {
  return ((temperatureF - 32) * 5) / 9;
}

export function fahrenheitFromCelsius(temperatureC: number): number {
  return temperatureC * 1.8 + 32;
}
