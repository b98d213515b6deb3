import { channel, choice, quantity, words } from '../src/chat/options.js';
import { CUTS, METHODS } from '../src/trade/methods.js';
import { DURATION_UNITS, G_PER_LB, MASS_UNITS, VOLUME_UNITS } from '../src/trade/units.js';

/** Options that several commands share: the same words and the same bounds everywhere. */

/** Heavier than any kitchen; lighter would refuse a butcher. */
const MOST_FAT_G = 500_000;
const MOST_WATER_ML = 2_000_000;
const MOST_MINUTES = 7 * 24 * 60;

export const SEVERAL_DAYS_MINUTES = MOST_MINUTES;

export const fatWeight = <R extends boolean>(required: R, description = 'Raw fat, by weight') =>
  quantity({
    description,
    required,
    units: MASS_UNITS,
    bare: ['lb', 'kg'],
    example: '4 lb 8 oz',
    least: { value: 0, exclusive: true, words: 'nothing' },
    most: { value: MOST_FAT_G, words: `500 kg (${Math.round(MOST_FAT_G / G_PER_LB)} lb)` },
  });

export const tallowWeight = <R extends boolean>(required: R, description = 'Tallow it gave, by weight') =>
  quantity({
    description,
    required,
    units: MASS_UNITS,
    bare: ['lb', 'kg'],
    example: '2 lb 2 oz',
    least: { value: 0, exclusive: true, words: 'nothing' },
    most: { value: MOST_FAT_G, words: `500 kg (${Math.round(MOST_FAT_G / G_PER_LB)} lb)` },
  });

export const waterVolume = (description = 'Water, by volume') =>
  quantity({
    description,
    required: false,
    units: VOLUME_UNITS,
    bare: ['cups', 'L'],
    example: '14 cups',
    least: { value: 0, words: 'nothing' },
    most: { value: MOST_WATER_ML, words: '2000 L' },
  });

export const vesselVolume = (description = 'Size of the pot or cooker') =>
  quantity({
    description,
    required: false,
    units: VOLUME_UNITS,
    bare: ['qt', 'L'],
    example: '8 qt',
    least: { value: 250, words: '250 mL (1 cup)' },
    most: { value: MOST_WATER_ML, words: '2000 L' },
  });

export const minutes = (description = 'How long it rendered; a bare number is minutes') =>
  quantity({
    description,
    required: false,
    units: DURATION_UNITS,
    bare: 'min',
    example: '2 h 30 min',
    least: { value: 0, exclusive: true, words: 'no time at all' },
    most: { value: MOST_MINUTES, words: '7 days' },
  });

export const method = <R extends boolean>(required: R) =>
  choice({ description: 'How it is rendered', required, choices: METHODS });

export const cut = <R extends boolean>(required: R) =>
  choice({ description: 'How the fat is cut', required, choices: CUTS });

export const UNIT_SYSTEMS = [
  { value: 'us', label: 'US: pounds, cups, °F' },
  { value: 'metric', label: 'Metric: kilograms, litres, °C' },
] as const;

export const unitSystem = () =>
  choice({ description: 'Units for the answer; both unless chosen', required: false, choices: UNIT_SYSTEMS });

export const since = () =>
  words({
    description: 'Count batches from this day on',
    required: false,
    maxLength: 40,
    example: '2026-01-01',
  });

export const channelToPostIn = () => channel({ description: 'Where the weekly post goes', required: true });
