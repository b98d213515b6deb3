import type { SourceId } from '../safety/sources.js';

/** What went wrong with tallow, or may have, and what to do about it. */
export interface Trouble {
  readonly label: string;
  /** The answer, or that it is not known here. */
  readonly answer: string;
  /** What to do and why, one to three short sentences. */
  readonly lines: readonly string[];
  readonly sources: readonly SourceId[];
}

export const TROUBLES = {
  'too smoky': {
    label: 'Too smoky',
    answer: 'Mix 1 part with 3 parts plain tallow and taste.',
    lines: [
      'Too strong still: more plain. Smoke comes out no other way that is known here.',
      'Next time shorter: about 2 h is light, 6 h strong.',
    ],
    sources: ['practice-smoke', 'practice-thinning'],
  },
  rancid: {
    label: 'Rancid smell',
    answer: 'Throw it away. Washing or heating does not bring it back.',
    lines: [
      'Rancid fat smells of paint, putty or old nuts, and smokes sooner.',
      'Next time: dry, strained, closed, dark and cold.',
    ],
    sources: ['lard-extension', 'blunt-feeney'],
  },
  soft: {
    label: 'Soft',
    answer: 'Soft tallow is not spoilt: trimmings set softer than suet.',
    lines: [
      'Smell it: sour or like paint means throw it away.',
      'Kidney suet sets hardest. Water, lean or oil in it softens it too: melt it again until no bubble rises.',
    ],
    sources: ['tallow-titre', 'codex-premier-jus'],
  },
  grainy: {
    label: 'Grainy',
    answer: 'Melt it clear and cool it fast: slow cooling makes grains.',
    lines: [
      'Harmless. Stir it as it turns cloudy, then into the refrigerator.',
      'Sand that does not melt is salt or bits: strain it.',
    ],
    sources: ['practice-graining', 'salt-in-fat'],
  },
  'will not set': {
    label: 'Will not set',
    answer: 'Put it in the refrigerator: tallow sets below 104 °F (40 °C), slowly.',
    lines: [
      'Still liquid cold: oil, other fat or much water is in it.',
      'Pour the water off, melt it until no bubble rises, chill again.',
    ],
    sources: ['tallow-melting-range'],
  },
  'watery layer': {
    label: 'Watery layer',
    answer: 'Chill it hard, lift the fat off, throw the water away.',
    lines: [
      'Over 4 days old, or out over 2 h: throw it all away.',
      'Scrape the disc, then melt it slowly until no bubble rises: it spits.',
    ],
    sources: ['fsis-danger-zone', 'cold-storage-chart', 'practice-chill-and-scrape'],
  },
  'brown layer': {
    label: 'Brown layer',
    answer: 'Scrape it off the cold disc and bin it.',
    lines: [
      'It is moist meat juice and spoils first. Not down the drain.',
      'Wipe the disc dry. Melt it again to jar it.',
    ],
    sources: ['practice-chill-and-scrape', 'fog-drains'],
  },
  foaming: {
    label: 'Foaming',
    answer: 'Rising: heat off, stand back, add nothing.',
    lines: [
      'In a wet render foam is protein and water: lower heat, skim, a third of the pot empty.',
      'Frying fat that foams is used up: throw it away.',
    ],
    sources: ['nfpa-cooking-oil', 'nc-state-frying', 'practice-headspace'],
  },
  'burnt smell': {
    label: 'Burnt smell',
    answer: 'Heat off. Burnt taste stays: throw that fat away.',
    lines: [
      'Let it cool. Ladle off only what smells clean, and leave the bottom.',
      'Next time lower heat: 255 °F (124 °C) at most.',
    ],
    sources: ['lard-end-point'],
  },
  'is it done': {
    label: 'Is it done',
    answer: 'Done when the bits give no more fat.',
    lines: [
      'Dry: bubbling has stopped, the bits are brown and sink, 255 °F (124 °C) at most.',
      'Wet: 2 h or more. It bubbles as long as there is water, and degrees tell nothing.',
    ],
    sources: ['lard-end-point', 'practice-time'],
  },
  washing: {
    label: 'Washing, second render',
    answer: 'Optional: most tasters find no difference.',
    lines: [
      'What it costs in tallow is not known here: weigh it before and after.',
      'Water only into fat 10 °F (6 °C) below boiling where you live (our own margin). Salt stays in the water.',
    ],
    sources: ['practice-rewash', 'salt-in-fat'],
  },
} as const satisfies Readonly<Record<string, Trouble>>;

export type TroubleName = keyof typeof TROUBLES;

export const TROUBLE_CHOICES = Object.entries(TROUBLES).map(([value, { label }]) => ({
  value: value as TroubleName,
  label,
}));
