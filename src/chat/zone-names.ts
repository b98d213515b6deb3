/** Names of time zones (IANA, tz database), and what people call them instead. */

/** Names of today that the runtime knows but lists under older ones (tz database, file `backward`). */
const RENAMED = [
  'America/Argentina/Buenos_Aires',
  'America/Argentina/Cordoba',
  'America/Argentina/Mendoza',
  'America/Nuuk',
  'Asia/Ho_Chi_Minh',
  'Asia/Kathmandu',
  'Asia/Kolkata',
  'Asia/Yangon',
  'Atlantic/Faroe',
  'Europe/Kyiv',
  'Pacific/Kanton',
];

/** Offered while nothing is typed: UTC and large cities of every continent, for the usual times of each. */
export const LARGE_CITIES = [
  'UTC',
  'America/New_York',
  'America/Chicago',
  'America/Denver',
  'America/Los_Angeles',
  'America/Toronto',
  'America/Mexico_City',
  'America/Bogota',
  'America/Sao_Paulo',
  'America/Argentina/Buenos_Aires',
  'Europe/London',
  'Europe/Paris',
  'Europe/Berlin',
  'Europe/Istanbul',
  'Europe/Moscow',
  'Africa/Cairo',
  'Africa/Lagos',
  'Africa/Johannesburg',
  'Asia/Dubai',
  'Asia/Kolkata',
  'Asia/Jakarta',
  'Asia/Shanghai',
  'Asia/Tokyo',
  'Australia/Sydney',
  'Pacific/Auckland',
] as const;

/**
 * A city that may be meant by an abbreviation, or by a country or state whose people mostly go by one time. May: CST is
 * a time of Chicago and of Shanghai, so none of these is taken without asking.
 */
const MAY_MEAN: Readonly<Record<string, readonly string[]>> = {
  'America/New_York': ['est', 'edt', 'et', 'eastern', 'us/eastern', 'florida'],
  'America/Chicago': ['cst', 'cdt', 'ct', 'central', 'us/central', 'texas'],
  'America/Denver': ['mst', 'mdt', 'mt', 'mountain', 'us/mountain', 'colorado'],
  'America/Los_Angeles': ['pst', 'pdt', 'pt', 'pacific', 'us/pacific', 'california'],
  'America/Anchorage': ['akst', 'akdt', 'alaska', 'us/alaska'],
  'Pacific/Honolulu': ['hst', 'hawaii', 'us/hawaii'],
  'Europe/London': ['gmt', 'bst', 'uk', 'england', 'britain'],
  'Europe/Berlin': ['cet', 'cest', 'germany'],
  'Europe/Athens': ['eet', 'eest', 'greece'],
  'Africa/Johannesburg': ['sast', 'southafrica'],
  'Asia/Kolkata': ['ist', 'india'],
  'Asia/Shanghai': ['china'],
  'Asia/Tokyo': ['jst', 'japan'],
  'Australia/Sydney': ['aest', 'aedt'],
  'Pacific/Auckland': ['nzst', 'nzdt', 'newzealand'],
};

/** Letters and figures alone, without accents; the parts of a zone's name stay apart. */
export const plainPlace = (text: string): string =>
  text
    .normalize('NFD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}/]+/gu, '');

/** The name of a city's zone that “EST”, “Central Standard Time” or “Texas” may mean. */
export function zoneThatMayBeMeant(text: string): string | undefined {
  const plain = plainPlace(text);
  const short = plain.replace(/(?:standard|daylight|summer)?time$/, '');
  return Object.entries(MAY_MEAN).find(([, called]) => called.includes(plain) || called.includes(short))?.[0];
}

/** “New York” of “America/New_York”. */
export const cityOf = (zone: string): string => (zone.split('/').at(-1) ?? zone).replaceAll('_', ' ');

/** The same for every name of one zone. */
export const zoneBehind = (name: string): string =>
  new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone;

let names: readonly string[] | undefined;
/** Every name, older ones too, in order; UTC first. */
export function zoneNames(): readonly string[] {
  names ??= ['UTC', ...[...new Set([...Intl.supportedValuesOf('timeZone'), ...RENAMED])].sort()];
  return names;
}

let today: ReadonlyMap<string, string> | undefined;
/** The name that is used today of a zone that may be named by an older one. */
export function nameOfToday(name: string): string {
  today ??= new Map(RENAMED.map((renamed) => [zoneBehind(renamed), renamed]));
  return today.get(name) ?? name;
}
