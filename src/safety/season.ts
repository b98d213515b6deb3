import { DateTime } from 'luxon';
import type { Season } from './occasion.js';

/** Time zones south of the equator, by the beginnings of their IANA names (tz database, zone1970.tab). */
const SOUTHERN = [
  'Australia/',
  'Antarctica/',
  'America/Argentina/',
  'America/Buenos_Aires',
  'America/Catamarca',
  'America/Cordoba',
  'America/Jujuy',
  'America/Mendoza',
  'America/Sao_Paulo',
  'America/Santiago',
  'America/Montevideo',
  'America/Asuncion',
  'America/La_Paz',
  'America/Lima',
  'America/Punta_Arenas',
  'America/Campo_Grande',
  'America/Cuiaba',
  'America/Bahia',
  'America/Recife',
  'Atlantic/Stanley',
  'Africa/Johannesburg',
  'Africa/Maputo',
  'Africa/Windhoek',
  'Africa/Harare',
  'Africa/Lusaka',
  'Africa/Luanda',
  'Africa/Gaborone',
  'Africa/Maseru',
  'Africa/Mbabane',
  'Indian/Mauritius',
  'Indian/Reunion',
  'Indian/Antananarivo',
  'Pacific/Auckland',
  'Pacific/Chatham',
  'Pacific/Fiji',
  'Pacific/Noumea',
  'Pacific/Tongatapu',
  'Pacific/Apia',
];

const NORTHERN_SEASONS: readonly Season[] = ['winter', 'spring', 'summer', 'autumn'];

/** The meteorological season (December to February is the northern winter) where that time zone lies. */
export function seasonAt(at: Date, zone: string): Season {
  const quarter = Math.floor((DateTime.fromJSDate(at, { zone }).month % 12) / 3);
  const shift = SOUTHERN.some((beginning) => zone.startsWith(beginning)) ? 2 : 0;
  return NORTHERN_SEASONS[(quarter + shift) % 4] ?? 'winter';
}
