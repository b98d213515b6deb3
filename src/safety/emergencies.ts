import { nearest } from '../words/nearest.js';
import type { SourceId } from './sources.js';

/** What to do when something goes wrong at the stove, written to be read in seconds. The rules of each stand in its sources. */
export interface Emergency {
  readonly label: string;
  /** The first thing to do, in twelve words at most. */
  readonly first: string;
  /** What follows, in the order to do it. */
  readonly next: readonly [string, string];
  /** What there is time for afterwards. */
  readonly more: readonly string[];
  readonly sources: readonly SourceId[];
  /** Words that name it where somebody was asked what happened. */
  readonly named: RegExp;
  /** What people say of it without being asked; it must not be met in talk of recipes. */
  readonly said: RegExp;
}

/** Cooling a burn: burn associations and hospitals, 20 minutes; some bodies say at least 10. */
export const COOL_BURN_MINUTES = 20;

const COOL_SKIN = `On skin: cool running water, ${COOL_BURN_MINUTES} minutes.`;
const IF_IT_BURNS = 'If it lights: slide a metal lid on, heat off, never water.';

/** The gravest first. */
export const EMERGENCIES = {
  fire: {
    label: 'Fire',
    first: 'Slide a metal lid on. Heat off. Never water.',
    next: [
      'Do not move the pot. Leave the lid on until all is cold.',
      'Not out at once? Get everyone out, shut the door, call your emergency number.',
    ],
    more: [
      'No lid: a metal baking sheet. Oven: heat off, door shut. A smoker: gas off if you can reach it, lid and vents shut.',
      'Extinguisher: Class K (Class F in Europe and Australia), and only with your way out behind you. Others can splash burning fat.',
      'Clothes on fire: stop, drop and roll. Then cool the burn.',
      'It is out: do not lift the lid to look. Fat lights again while it is hot.',
    ],
    sources: ['nfpa-cooking-oil', 'nfpa-kitchen-fire', 'nfpa-10', 'stop-drop-roll'],
    named: /fire|flame|ablaze|burning (?:fat|grease|oil|pan|pot)|alight/,
    said: /\b(?:fire|flames?|ablaze|alight)\b|\b(?:fat|grease|oil|pan|pot|oven|smoker|stove) is burning\b/,
  },
  burn: {
    label: 'Burn',
    first: `Cool running water on the burn, now, for ${COOL_BURN_MINUTES} minutes.`,
    next: [
      'Rinse the fat off under it. Rings and clothes off, unless stuck. No ice, no butter.',
      'Large, deep, white, on the face, or a small child: call your emergency number.',
    ],
    more: [
      'Get medical help too if it is wider than 3 cm (1 in), or on hands, feet or groin, or blisters there, and for any child.',
      'Cooling still helps up to 3 hours later. Keep the rest of the body warm.',
      'Then cover it loosely with cling film or a clean plastic bag. No cream. Leave blisters whole.',
      'Eyes: rinse with cool water and call your emergency number.',
    ],
    sources: ['burns-first-aid', 'burns-when-to-get-help', 'hot-fat-on-skin'],
    named: /burn|scald|skin|hurt/,
    said: /^\W*(?:burn|burned|burnt|scald|scalded)\W*$|\b(?:burn(?:ed|t)?|scald(?:ed)?)\b.*\b(?:my|me|myself|him|her|his|hand|arm|face|finger|fingers|leg|foot|feet|eyes?|skin|child|kid|baby|someone|somebody)\b|\b(?:my|his|her|the (?:child|kid|baby)).*\b(?:is|got|are|was) (?:badly )?(?:burned|burnt|scalded)\b|\bon (?:my|his|her) (?:skin|hand|arm|face|leg|foot)\b/,
  },
  'boiling over': {
    label: 'Boiling over',
    first: 'Heat off now. Stand back. Add nothing.',
    next: [
      `Let it sink by itself. Do not lift or move a full pot. ${IF_IT_BURNS}`,
      'Go on once it is quiet: ladle some out, lower heat, a third of the pot empty.',
    ],
    more: [
      'On an electric plate, which stays hot, slide the pot aside only if it does not spill.',
      'Clean the stove cold before you light it again. Fat left on a burner catches fire.',
      'In a pressure cooker: heat off, let the pressure fall by itself. Never force the lid.',
    ],
    sources: ['nfpa-cooking-oil', 'pressure-cooker-instructions', 'practice-headspace'],
    named: /boil|overflow|foam|froth/,
    said: /\b(?:boil(?:s|ed|ing)?|foam(?:s|ed|ing)?|froth(?:s|ed|ing)?|bubbl(?:es|ed|ing)) over\b|\boverflow(?:s|ed|ing)?\b/,
  },
  smoke: {
    label: 'The fat smokes',
    first: 'Heat off now. Do not move the pot.',
    next: [
      `Smoke comes before fire. Lid at hand. ${IF_IT_BURNS}`,
      'Open a window. Go on only when it is cool, on low heat, with a thermometer.',
    ],
    more: [
      'Fat that smoked tastes of it and smokes sooner next time. If it smells burnt, throw it out.',
      'Keep it below 350 °F (175 °C), and turn the heat off at 375 °F (190 °C).',
      'Dizzy, sick or a headache near a smoker, charcoal or gas: out into fresh air, and call your emergency number.',
    ],
    sources: ['nfpa-cooking-oil', 'heat-steps', 'cpsc-charcoal'],
    named: /smok|fumes|wisp/,
    said: /\b(?:fat|tallow|grease|oil|pan|pot|it|kitchen) (?:is|starts?|started|keeps?|won.t stop) (?:to )?smok(?:e|ing)\b|\bfull of smoke\b/,
  },
  popping: {
    label: 'Popping, spitting',
    first: 'Turn the heat down. Stand back. Add nothing wet.',
    next: [
      'Water is caught in hot fat. A lid ajar holds the fat back and lets steam out.',
      `Louder, or it froths: heat off and wait. ${COOL_SKIN}`,
    ],
    more: [
      'The last water of a render bumps and spits, also when tallow is melted again to dry it. It ends by itself.',
      'Warm the pot slowly so that a sunken layer of water does not boil up under the fat.',
      'Nothing wet goes in before the fat is below 200 °F (93 °C), less high up: 189 °F (87 °C) at 7,000 ft.',
    ],
    sources: ['hot-fat-inference', 'nfpa-cooking-oil', 'burns-first-aid'],
    named: /pop|spit|spat|splatter|splash|bump|crackl/,
    said: /\b(?:popping|spitting|spattering|splattering|bumping)\b/,
  },
  spill: {
    label: 'Hot fat spilt',
    first: 'Heat off. Everyone back. Do not wipe hot fat.',
    next: [
      'Let it cool until it sets. No water on it. Then scrape, paper towels, soap last.',
      `${COOL_SKIN} ${IF_IT_BURNS}`,
    ],
    more: [
      'Fat on a floor is as slick as ice: keep children and pets away, put salt or cat litter on it, wash twice.',
      'Put greasy paper in a metal bin with a lid or outdoors: oily cloths can heat themselves.',
      'None of it down the drain.',
    ],
    sources: ['nfpa-cooking-oil', 'burns-first-aid', 'practice-hot-handling', 'oily-cloths', 'fog-drains'],
    named: /spil|tipped|knocked|floor|dropped/,
    said: /\b(?:spilled|spilt|spilling|knocked (?:it )?over|tipped (?:it )?over)\b/,
  },
  'must leave': {
    label: 'I must leave',
    first: 'Heat off before you go, even for a minute.',
    next: [
      'Lid on, handle turned in, children and pets out of the kitchen.',
      'Gone for over 2 hours? Chill it first. What stood out longer is thrown away.',
    ],
    more: [
      'Outdoors the same: gas off, charcoal starved of air. A pressure cooker: heat off, lid locked, let it cool by itself.',
      'A slow cooker with its lid on may run while you are out if its manual says so.',
      'Counted from when the fat falls below 140 °F (60 °C), broth and wet fat may stand 2 hours, 1 hour above 90 °F (32 °C).',
    ],
    sources: ['nfpa-cooking-oil', 'fsis-danger-zone', 'fsis-slow-cooker'],
    named: /leav|left alone|go out/,
    said: /\b(?:must|have to|need to|got to|gotta) (?:leave|go|run)\b/,
  },
  'stood out': {
    label: 'It stood out',
    first: 'Do not taste it. How long was it out?',
    next: [
      'Count all of it: since it left the refrigerator, or fell below 140 °F (60 °C).',
      'Raw fat, broth, a disc on its water, a blend: chill it while you answer.',
    ],
    more: [],
    sources: ['fsis-danger-zone'],
    named: /stood|stand|sat|left out|out all|overnight|forgot|counter|warm|throw|keep/,
    said: /\b(?:stood|sat|left|been|was) out\b|\bleft (?:it|the \w+|my \w+)? ?(?:out|on the counter)\b|\bout (?:all night|overnight)\b|\bovernight on the counter\b/,
  },
} as const satisfies Readonly<Record<string, Emergency>>;

export type EmergencyName = keyof typeof EMERGENCIES;

const ALL: readonly (readonly [EmergencyName, Emergency])[] = Object.entries(EMERGENCIES).map(
  ([name, emergency]) => [name as EmergencyName, emergency],
);

export const EMERGENCY_CHOICES = ALL.map(([value, { label }]) => ({ value, label }));

/** The emergency that somebody tells of; the gravest of several. Undefined where there is no word of one. */
export function emergencyIn(said: string): EmergencyName | undefined {
  const text = said.toLowerCase();
  return ALL.find(([, emergency]) => emergency.said.test(text))?.[0];
}

/** The emergency that is named, by somebody who was asked for one: single words and slips of a letter count. */
export function emergencyNamed(answer: string): EmergencyName | undefined {
  const text = answer.toLowerCase().trim();
  const exact = ALL.find(([name]) => name === text);
  return (exact ?? ALL.find(([, { named }]) => named.test(text)))?.[0] ?? misspelt(text);
}

const SINGLE_WORDS: Readonly<Record<string, EmergencyName>> = {
  fire: 'fire',
  flames: 'fire',
  burn: 'burn',
  burned: 'burn',
  scald: 'burn',
  leave: 'must leave',
  boiling: 'boiling over',
  foaming: 'boiling over',
  smoke: 'smoke',
  smoking: 'smoke',
  popping: 'popping',
  spitting: 'popping',
  spill: 'spill',
  spilled: 'spill',
  stood: 'stood out',
};

function misspelt(text: string): EmergencyName | undefined {
  for (const word of text.match(/\p{L}+/gu) ?? []) {
    const meant = nearest(word, Object.keys(SINGLE_WORDS));
    if (meant !== undefined) return SINGLE_WORDS[meant];
  }
  return undefined;
}
