import { capitalise, listWords } from '../words/lists.js';
import type { Cut, Method } from '../words/methods.js';
import type { SourceId } from './sources.js';

/**
 * The cautions of the trade. They are written here and nowhere else. They are good practice, not law, and stand
 * below the appliance's manual, the local authorities and licensed practice.
 */

export type Activity =
  | 'thaw'
  | 'grind'
  | 'render'
  | 'strain'
  | 'chill'
  | 'remelt'
  | 'wash'
  | 'clarify'
  | 'jar'
  | 'store'
  | 'clean-up'
  | 'butter-blend'
  | 'salted-blend'
  | 'smoke'
  | 'fry'
  | 'sell';

export type Season = 'spring' | 'summer' | 'autumn' | 'winter';

export type SafetyTopic =
  | 'fire'
  | 'burns'
  | 'water-in-fat'
  | 'pressure'
  | 'smoke-co'
  | 'fumes'
  | 'grinder'
  | 'raw-meat'
  | 'cooling'
  | 'storage'
  | 'canning'
  | 'moist-blends'
  | 'allergens'
  | 'clay'
  | 'drains'
  | 'selling';

export const SAFETY_TOPICS: readonly { readonly value: SafetyTopic; readonly label: string }[] = [
  { value: 'fire', label: 'Fire' },
  { value: 'burns', label: 'Burns' },
  { value: 'water-in-fat', label: 'Water in hot fat' },
  { value: 'pressure', label: 'Pressure cookers' },
  { value: 'smoke-co', label: 'Smokers and carbon monoxide' },
  { value: 'fumes', label: 'Fumes' },
  { value: 'grinder', label: 'Grinders' },
  { value: 'raw-meat', label: 'Raw fat and meat' },
  { value: 'cooling', label: 'Cooling' },
  { value: 'storage', label: 'Storage' },
  { value: 'canning', label: 'Canning' },
  { value: 'moist-blends', label: 'Blends that hold water' },
  { value: 'allergens', label: 'Allergens' },
  { value: 'clay', label: 'Clay' },
  { value: 'drains', label: 'Drains' },
  { value: 'selling', label: 'Selling' },
];

/** Whose word stands above a caution. */
export type Authority = 'manual' | 'fire service' | 'food authority' | 'doctor' | 'utility';

const AUTHORITY_WORDS: Readonly<Record<Authority, string>> = {
  manual: 'the manual of your appliance',
  'fire service': 'your local fire service',
  'food authority': 'your local food-safety authority',
  doctor: 'a doctor or the emergency service',
  utility: 'your local waste and sewer utility',
};

/** A caution applies where every part that is named fits; a part that is left out fits always. */
export interface Occasion {
  readonly methods?: readonly Method[];
  readonly cuts?: readonly Cut[];
  readonly activities?: readonly Activity[];
  readonly seasons?: readonly Season[];
}

export interface Caution {
  readonly id: string;
  /** Higher is graver; no two are alike. */
  readonly gravity: number;
  readonly hazard: string;
  /** What to do, in at most 200 characters. */
  readonly short: string;
  /** Why, and what else. */
  readonly long: string;
  /** Where common practice and published caution differ. The caution sides with the latter. */
  readonly disagreement?: string;
  readonly topics: readonly SafetyTopic[];
  /** Any one of these is enough. */
  readonly occasions: readonly Occasion[];
  readonly authority: Authority;
  readonly sources: readonly SourceId[];
}

/** Gravest first. */
export const CAUTIONS: readonly Caution[] = [
  {
    id: 'pressure-makers-limit',
    gravity: 100,
    hazard: 'a blocked vent and a burst of hot fat',
    short:
      'Read your pressure cooker’s manual first: many makers allow very little fat. If it forbids this much, use an open pot. Never fill past half.',
    long: 'Fat and foam can block the vent of a pressure cooker. Where the manual allows fat, fill to half at most, check gasket, vent and valve each time, keep free water in it and stay with it.',
    disagreement:
      'Common practice renders pounds of fat under pressure; published instructions often stop at about a quarter cup of fat or oil. Your manual decides.',
    topics: ['pressure'],
    occasions: [{ methods: ['pressure'] }],
    authority: 'manual',
    sources: ['pressure-cooker-fat-limit', 'pressure-cooker-instructions'],
  },
  {
    id: 'pressure-not-a-fryer',
    gravity: 99,
    hazard: 'fat without a limit to its heat under a locked lid',
    short:
      'Keep free water in the pressure cooker to the end, and never fry under pressure unless the cooker is made for it.',
    long: 'With water inside, pressure sets the temperature. Once the water has gone, nothing holds the fat back from its smoke point or beyond, behind a lid you cannot open.',
    topics: ['pressure', 'fire'],
    occasions: [{ methods: ['pressure'], activities: ['render', 'fry'] }],
    authority: 'manual',
    sources: ['pressure-cooker-instructions', 'iapws-if97'],
  },
  {
    id: 'pressure-natural-release',
    gravity: 98,
    hazard: 'hot fat spat from the vent',
    short:
      'Let the pressure fall by itself before you open the cooker. Never force the lid: a quick release can spit hot fat and foam.',
    long: 'Liquids that foam and liquids under fat go on boiling when the pressure drops. Turn the heat off, wait until the indicator has fallen, and open the lid away from your face.',
    topics: ['pressure', 'burns'],
    occasions: [{ methods: ['pressure'], activities: ['render', 'strain'] }],
    authority: 'manual',
    sources: ['pressure-cooker-instructions'],
  },
  {
    id: 'smoker-outdoors',
    gravity: 97,
    hazard: 'carbon monoxide',
    short:
      'Run smokers and charcoal outdoors only. Never in a garage or tent, even with the door open: carbon monoxide has no smell and kills.',
    long: 'Charcoal goes on giving off carbon monoxide until it is cold. Keep it away from doors and windows, and leave for fresh air and call for help if anyone feels dizzy, sick or sleepy.',
    topics: ['smoke-co'],
    occasions: [{ methods: ['smoker'], activities: ['render'] }, { activities: ['smoke'] }],
    authority: 'fire service',
    sources: ['cpsc-charcoal'],
  },
  {
    id: 'salted-blend-cold-only',
    gravity: 96,
    hazard: 'botulism',
    short:
      'Chill a salted blend at once and keep it at 40 °F (4 °C) or below. Use it within 7 days or freeze it: only cold keeps it safe. Never seal it warm.',
    long: 'It is a third water, and that water holds about 0.6 % salt where 10 % would be needed to hold back botulism. Boiling does not kill the spores, and some strains grow slowly even in a refrigerator, so the days count too. When in doubt throw it out; do not taste it to find out.',
    disagreement:
      'Common practice calls it salted and blends it for the refrigerator without a time; its salt preserves nothing. The 7 days are the limit that food businesses have for moist ready food.',
    topics: ['moist-blends', 'storage'],
    occasions: [{ activities: ['salted-blend'] }],
    authority: 'food authority',
    sources: [
      'botulism-limits',
      'botulism-cold',
      'food-code-date',
      'fsis-danger-zone',
      'practice-salted-blend',
    ],
  },
  {
    id: 'no-home-canning',
    gravity: 95,
    hazard: 'botulism in a sealed jar',
    short:
      'Do not can tallow or its blends for the shelf. A hot jar that seals itself is not canned: no tested home process for fat is known.',
    long: 'Fat shields spores from heat, slows the heat and spoils seals. A sealed jar also shuts out the air that some dangerous bacteria cannot live with.',
    disagreement:
      'Many cooks take a lid that pops down for a safe seal. Authorities on home canning advise against canning butter and inventing recipes with fat.',
    topics: ['canning', 'storage', 'moist-blends'],
    occasions: [{ activities: ['jar', 'store', 'butter-blend', 'salted-blend'] }],
    authority: 'food authority',
    sources: ['canning-fats', 'canning-butter', 'low-acid-law'],
  },
  {
    id: 'no-garlic-under-fat',
    gravity: 94,
    hazard: 'botulism under fat',
    short:
      'Keep no garlic, herbs or meat drippings in stored tallow. Treat such a mix as a wet blend: 40 °F (4 °C) or below, 7 days at most.',
    long: 'Fat keeps air away from what lies in it, and fresh plants and drippings bring water and spores. Garlic in oil and onions in margarine have caused outbreaks.',
    topics: ['moist-blends', 'storage'],
    occasions: [{ activities: ['store', 'butter-blend', 'salted-blend'] }],
    authority: 'food authority',
    sources: ['botulism-oil-outbreaks', 'food-code-date'],
  },
  {
    id: 'no-water-on-hot-fat',
    gravity: 93,
    hazard: 'steam that throws burning fat',
    short:
      'Never add water, or wet or frozen fat, to fat hotter than boiling water: it flashes to steam and throws burning fat. Let the fat cool below 200 °F (95 °C) first.',
    long: 'Water sinks under fat and becomes about 1,700 times its volume of steam. While a pot still boils there is water in it and hot water may be added gently; once the bubbling has stopped, measure first. At altitude water boils lower: stay 10 °F (5 °C) under the boiling point where you live.',
    topics: ['water-in-fat', 'burns', 'fire'],
    occasions: [{ activities: ['render', 'remelt', 'wash', 'fry', 'smoke'] }],
    authority: 'fire service',
    sources: ['steam-expansion', 'hot-fat-inference', 'nfpa-cooking-oil'],
  },
  {
    id: 'if-fat-burns',
    gravity: 92,
    hazard: 'burning fat',
    short:
      'If fat catches fire: slide a metal lid on, heat off, do not move it, leave it covered until cold. Never water. If it does not go out at once, get out and call for help.',
    long: 'Keep a lid that fits within reach of every pot of fat, and a mitt to slide it on from the side. A glass lid can break. Lifting the lid too early lets the fire start again.',
    topics: ['fire'],
    occasions: [{ activities: ['render', 'remelt', 'fry', 'smoke'] }],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'stay-with-hot-fat',
    gravity: 91,
    hazard: 'fat left alone on the heat',
    short:
      'Stay in the room while fat is on the heat. Turn the heat off if you must leave, and at the first wisp of smoke.',
    long: 'Fat gives little warning between smoking and burning. A long render is no exception: plan it for hours when somebody is in the kitchen and awake.',
    topics: ['fire'],
    occasions: [
      {
        methods: ['open-pot', 'pressure', 'stovetop-dry', 'oven', 'smoker'],
        activities: ['render'],
      },
      { activities: ['remelt', 'fry', 'smoke'] },
    ],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'fat-in-a-smoker',
    gravity: 90,
    hazard: 'liquid fat over a fire',
    short:
      'In a smoker, hold fat in a shallow, steady pan with room at the rim, over indirect heat. Fat that spills on coals feeds the fire. Never leave it alone.',
    long: 'Set the pan level before you fill it, and fill it where it will stand. Close the vents and the lid if it catches fire, and keep your face away from the lid.',
    topics: ['fire', 'smoke-co'],
    occasions: [{ methods: ['smoker'], activities: ['render'] }, { activities: ['smoke'] }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'nfpa-cooking-oil'],
  },
  {
    id: 'smoker-in-winter',
    gravity: 89,
    hazard: 'carbon monoxide in a shelter',
    short:
      'Cold or wet weather is no reason to bring a smoker under a roof with walls. Wait for another day, or use the oven.',
    long: 'A garage, shed or porch fills with carbon monoxide even when its door is open.',
    topics: ['smoke-co'],
    occasions: [
      { methods: ['smoker'], activities: ['render'], seasons: ['winter'] },
      { activities: ['smoke'], seasons: ['winter'] },
    ],
    authority: 'fire service',
    sources: ['cpsc-charcoal'],
  },
  {
    id: 'heat-steps',
    gravity: 88,
    hazard: 'fat on its way to the smoke point',
    short:
      'Keep a thermometer in the fat, off the metal. Turn down at 350 °F (175 °C) and off at 375 °F (190 °C). From 400 °F (205 °C) it is in danger of smoking and burning.',
    long: 'No water means no limit to the heat. Published smoke points of beef tallow run from 375 to 420 °F (190 to 215 °C) and fall with age and with crumbs; cooking fats light by themselves from about 590 °F (310 °C).',
    disagreement:
      'Cookery tables name smoke points up to 480 °F; no measurement was found behind them. These steps start below the lowest.',
    topics: ['fire', 'fumes'],
    occasions: [
      { methods: ['stovetop-dry', 'oven', 'smoker', 'slow-cooker'], activities: ['render'] },
      { activities: ['remelt', 'fry', 'clarify'] },
    ],
    authority: 'fire service',
    sources: ['heat-steps', 'tallow-smoke-point', 'fire-note-610'],
  },
  {
    id: 'when-the-water-is-gone',
    gravity: 87,
    hazard: 'a wet render that has boiled dry',
    short:
      'Watch the water. Once it is gone the render is dry: hotter, browner and on its way to smoking. Top up while it still boils, never after.',
    long: 'Water holds a pot at its boiling point; without it the fat climbs as far as the burner drives it. Keep at least a third of the starting water in the pot.',
    topics: ['fire', 'water-in-fat'],
    occasions: [{ methods: ['open-pot', 'slow-cooker'], activities: ['render'] }],
    authority: 'fire service',
    sources: ['iapws-if97', 'hot-fat-inference'],
  },
  {
    id: 'frothing-fat',
    gravity: 86,
    hazard: 'a pot that boils over',
    short: 'If fat froths or climbs, take the pot off the heat at once. Turning down is too slow.',
    long: 'Leave a third of the pot empty so that there is room to climb. Fat that runs over onto a flame or a hot plate burns.',
    topics: ['fire', 'burns'],
    occasions: [
      { methods: ['open-pot', 'stovetop-dry'], activities: ['render'] },
      { activities: ['remelt', 'fry', 'wash'] },
    ],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil', 'practice-headspace'],
  },
  {
    id: 'burns-first-aid',
    gravity: 85,
    hazard: 'burns',
    short:
      'Burnt: get the fat off, then cool running water for 20 minutes. No ice, butter or cream. A large, deep or facial burn, or any on a child, needs medical help.',
    long: 'Cooling helps up to three hours later. Take off rings and clothing that does not stick, and cover the burn loosely. Larger than about 3 cm, or on hands or groin, also needs medical help.',
    disagreement: 'Some first-aid bodies say at least 10 minutes of water, others 20; 20 is taken.',
    topics: ['burns'],
    occasions: [{ activities: ['render', 'strain', 'remelt', 'wash', 'jar', 'fry', 'smoke'] }],
    authority: 'doctor',
    sources: ['burns-first-aid', 'hot-fat-on-skin'],
  },
  {
    id: 'last-water-bumps',
    gravity: 84,
    hazard: 'spatter from the last water',
    short:
      'Re-melt gently in a tall, dry pot and keep your face back: the last water jumps and spits. Go on until the bubbling stops, then take it off the heat.',
    long: 'Pour off and scrape away water and brown jelly before you heat the disc. A pot that has gone quiet is dry, and from then on it heats fast.',
    topics: ['burns', 'water-in-fat'],
    occasions: [{ activities: ['remelt'] }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'practice-chill-and-scrape'],
  },
  {
    id: 'wash-below-boiling',
    gravity: 83,
    hazard: 'water added to hot fat',
    short:
      'Before a second wash let the fat cool below 200 °F (95 °C), then add the water. Chill the wash water and the fat again by the cooling rule.',
    long: 'Every further boil is another turn with hot fat and another slow cooling. Salt in the water stays in the water.',
    disagreement:
      'Some recipes wash three or four times with salt; in common practice most tasters notice no difference.',
    topics: ['water-in-fat', 'cooling'],
    occasions: [{ activities: ['wash'] }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'salt-in-fat', 'practice-rewash', 'food-code-cooling'],
  },
  {
    id: 'strain-and-pour',
    gravity: 82,
    hazard: 'burns while hot fat is moved',
    short:
      'Strain and pour below 200 °F (95 °C), with dry mitts and both hands, into warm, dry, heat-proof vessels. Keep children and pets out of the kitchen.',
    long: 'Put the vessel in the sink or on a tray first, so that a spill stays there. A cold or wet jar can crack or spit.',
    topics: ['burns'],
    occasions: [{ activities: ['strain', 'jar'] }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'practice-hot-handling'],
  },
  {
    id: 'oven-pan',
    gravity: 81,
    hazard: 'a pan of hot fat in an oven',
    short:
      'In the oven use a deep, steady pan, two thirds full at most. Turn the oven off and let the fat stop moving before you lift it out with dry mitts.',
    long: 'Fat that slops onto the oven floor or an element smokes and burns. If it catches fire in the oven, turn it off and leave the door shut.',
    topics: ['burns', 'fire'],
    occasions: [{ methods: ['oven'], activities: ['render', 'strain'] }],
    authority: 'manual',
    sources: ['practice-hot-handling', 'hot-fat-inference', 'practice-headspace', 'nfpa-cooking-oil'],
  },
  {
    id: 'grinder-fingers',
    gravity: 80,
    hazard: 'a grinder that takes fingers',
    short:
      'Use the pusher, never fingers. Unplug the grinder before you clear or clean it. Chill the fat and the parts, and wear nothing loose.',
    long: 'Warm fat smears and clogs, and a clog is what tempts a hand into the throat. Cut pieces to size before you start.',
    topics: ['grinder'],
    occasions: [{ cuts: ['ground', 'minced'], activities: ['grind'] }],
    authority: 'manual',
    sources: ['osha-grinder'],
  },
  {
    id: 'right-extinguisher',
    gravity: 79,
    hazard: 'the wrong extinguisher',
    short:
      'Keep a metal lid within reach and, for big batches, a Class K extinguisher. Other kinds may not cool burning fat and can splash it.',
    long: 'Class K, wet chemical, is the class for cooking fats. Read how it works before you need it, and keep your way out behind you.',
    topics: ['fire'],
    occasions: [{ activities: ['render', 'remelt', 'fry', 'smoke'] }],
    authority: 'fire service',
    sources: ['nfpa-10'],
  },
  {
    id: 'outdoor-burner',
    gravity: 78,
    hazard: 'a pot that tips over a flame',
    short:
      'Set an outdoor burner on level ground, clear of walls, roofs and dry leaves, and keep everyone from reaching over the pot.',
    long: 'Turn the flame off before you add or lift anything. Fire bodies advise against deep pots of hot fat over an open flame at home.',
    topics: ['fire', 'burns'],
    occasions: [{ methods: ['open-pot', 'stovetop-dry'], activities: ['render'] }, { activities: ['fry'] }],
    authority: 'fire service',
    sources: ['nfpa-outdoor-fryer', 'practice-hot-handling'],
  },
  {
    id: 'frying-in-tallow',
    gravity: 77,
    hazard: 'food lowered into hot fat',
    short:
      'When you fry, heat slowly, leave headspace, use dry tools and dry food, and lower the food in away from you.',
    long: 'Water on food boils in the fat and makes it climb. Frozen food carries ice.',
    topics: ['burns', 'fire', 'water-in-fat'],
    occasions: [{ activities: ['fry'] }],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'cool-in-two-steps',
    gravity: 76,
    hazard: 'bacteria in slowly cooling broth',
    short:
      'Cool fat and broth to 70 °F (21 °C) within 2 hours and to 41 °F (5 °C) within 4 more. A deep pot will not: use shallow pans and an ice bath.',
    long: 'The broth under the fat is a moist cooked meat food, and the fat above it is a blanket. The rule binds food businesses; at home it is the right yardstick.',
    topics: ['cooling'],
    occasions: [{ activities: ['chill', 'strain', 'wash'] }],
    authority: 'food authority',
    sources: ['food-code-cooling', 'fsis-danger-zone'],
  },
  {
    id: 'hot-day',
    gravity: 75,
    hazard: 'raw trim in summer heat',
    short:
      'Above 90 °F (32 °C), leave raw fat and broth out for one hour at most instead of two, all waits added together.',
    long: 'Between 40 and 140 °F bacteria can double in as little as 20 minutes. Keep trim on ice between the counter, the grinder and the pot.',
    topics: ['raw-meat', 'cooling'],
    occasions: [{ activities: ['thaw', 'grind', 'render', 'chill'], seasons: ['summer'] }],
    authority: 'food authority',
    sources: ['fsis-danger-zone'],
  },
  {
    id: 'slow-cooker-thawed',
    gravity: 74,
    hazard: 'a slow cooker that warms too slowly or spills',
    short:
      'Start a slow cooker with thawed fat and the lid on, filled as its manual says. Do not carry or pour the crock while the fat is hot.',
    long: 'Frozen fat keeps the crock for hours at the warmth that bacteria like. Ladle hot fat out, or wait until it has cooled.',
    topics: ['raw-meat', 'burns'],
    occasions: [{ methods: ['slow-cooker'], activities: ['render', 'thaw', 'strain'] }],
    authority: 'manual',
    sources: ['fsis-slow-cooker', 'practice-hot-handling'],
  },
  {
    id: 'thaw-cold',
    gravity: 73,
    hazard: 'bacteria on thawing fat',
    short:
      'Thaw fat in the refrigerator, or in cold water changed every 30 minutes and then cooked at once. Never on the counter. Thaw fully before smoking.',
    long: 'The outside of a block is warm long before the middle has thawed. Ice in it also spits when it meets hot fat.',
    topics: ['raw-meat'],
    occasions: [{ activities: ['thaw', 'smoke'] }],
    authority: 'food authority',
    sources: ['food-code-thawing', 'fsis-thawing'],
  },
  {
    id: 'clean-after-raw',
    gravity: 72,
    hazard: 'raw juices on finished tallow',
    short:
      'Wash, then sanitise, grinder, board, knives and hands after raw fat, and keep raw and finished apart.',
    long: 'Rendering is hot enough to kill what is on the meat, but the hands, the grinder and the board are not rendered.',
    topics: ['raw-meat', 'grinder'],
    occasions: [{ activities: ['grind', 'render', 'clean-up'] }],
    authority: 'food authority',
    sources: ['fsis-ground-beef'],
  },
  {
    id: 'ground-raw-fat',
    gravity: 71,
    hazard: 'raw ground fat that is kept too long',
    short:
      'Render ground or minced raw fat within 1 to 2 days at 40 °F (4 °C) or below, or freeze it for 3 to 4 months. Grind only when you are ready.',
    long: 'Grinding spreads what was on the surface through the whole. There is no official line for raw fat: it is kept here as ground beef is.',
    topics: ['raw-meat', 'storage'],
    occasions: [{ cuts: ['ground', 'minced'], activities: ['thaw', 'grind', 'render', 'store'] }],
    authority: 'food authority',
    sources: ['raw-fat-by-analogy', 'cold-storage-chart', 'fsis-ground-beef', 'minnesota-folder-120'],
  },
  {
    id: 'whole-raw-fat',
    gravity: 70,
    hazard: 'raw trimmings that are kept too long',
    short:
      'Keep raw trimmings at 40 °F (4 °C) or below for 3 to 5 days at most, or freeze them. Cubes keep less well than whole pieces.',
    long: 'There is no official line for raw fat: whole pieces are kept here as a beef roast is, cubes for 1 to 2 days as stewing beef is. Frozen at 0 °F (−18 °C) they stay safe, and lose flavour with time.',
    topics: ['raw-meat', 'storage'],
    occasions: [{ cuts: ['cubed'], activities: ['thaw', 'render', 'store'] }, { activities: ['thaw'] }],
    authority: 'food authority',
    sources: ['raw-fat-by-analogy', 'cold-storage-chart'],
  },
  {
    id: 'clay-lead',
    gravity: 69,
    hazard: 'lead',
    short:
      'Put no clay powder into tallow. Regulators have found high lead in bentonite sold to consumers, and grit left in the fat carries it along.',
    long: 'At the 37.5 parts per million measured in one product, a gram of clay left behind holds 37.5 µg of lead; a child’s reference level is 2.2 µg a day.',
    disagreement:
      'Common practice leaves it out because of grit and taste; lead is the stronger reason. Food law allows food-grade bentonite that is filtered out again, which is not the powder sold for masks.',
    topics: ['clay'],
    occasions: [{ activities: ['clarify'] }],
    authority: 'food authority',
    sources: ['fda-clay-lead', 'fda-lead-levels', 'bentonite-cfr', 'practice-bentonite'],
  },
  {
    id: 'butter-blend-brief',
    gravity: 68,
    hazard: 'a blend kept warm',
    short:
      'Keep a butter blend warm only while you mix it, then chill it at once. Refrigerate and use within 1 to 2 months: it keeps no longer than its butter.',
    long: 'Melt the tallow until it is clear, let it cool, and stir in soft butter. Freeze it for 6 to 9 months.',
    disagreement:
      'Common practice melts both below 100 °F. That is inside the range in which bacteria grow, 40 to 140 °F, and below the melting range of tallow, 104 to 122 °F, so it stays grainy: keep it brief.',
    topics: ['moist-blends', 'storage', 'cooling'],
    occasions: [{ activities: ['butter-blend'] }],
    authority: 'food authority',
    sources: ['practice-butter-blend', 'fsis-danger-zone', 'tallow-melting-range', 'foodkeeper'],
  },
  {
    id: 'milk-allergen',
    gravity: 67,
    hazard: 'milk, a major allergen',
    short: 'Butter is milk. Label every butter blend “contains milk” and tell your guests.',
    long: 'Clarified butter is still milk. Keep separate spoons and jars for plain tallow.',
    topics: ['allergens'],
    occasions: [{ activities: ['butter-blend'] }],
    authority: 'food authority',
    sources: ['falcpa'],
  },
  {
    id: 'smoke-hot-or-cool-fast',
    gravity: 66,
    hazard: 'hours of lukewarm smoking',
    short:
      'Smoke tallow that is already rendered, dry and strained, and keep it above 140 °F (60 °C). Afterwards chill it by the cooling rule.',
    long: 'Rendered fat without water or crumbs gives bacteria little to live on; raw fat in a cool smoker gives them all they need. Long hot hours also bring fat closer to rancid.',
    topics: ['cooling', 'smoke-co'],
    occasions: [{ activities: ['smoke'] }],
    authority: 'food authority',
    sources: ['fsis-danger-zone', 'food-code-cooling', 'practice-smoke'],
  },
  {
    id: 'fumes',
    gravity: 65,
    hazard: 'fumes of overheated fat',
    short:
      'Run the hood or open a window. Fat that smokes is too hot, and its fumes sting: take it off the heat.',
    long: 'A clean, strained fat smokes later than an old or crumbly one.',
    topics: ['fumes'],
    occasions: [{ activities: ['render', 'remelt', 'fry'] }],
    authority: 'fire service',
    sources: ['tallow-smoke-point', 'nfpa-cooking-oil', 'practice-ventilate'],
  },
  {
    id: 'brown-layer',
    gravity: 64,
    hazard: 'moist protein under the disc',
    short:
      'Scrape the brown layer off the disc and bin it: it is wet protein and spoils first. Re-melt and dry the fat before you jar it.',
    long: 'Lift the disc within a day, dry it, and scrape down to clean fat. A disc weighed wet weighs too much.',
    topics: ['storage'],
    occasions: [{ activities: ['chill', 'remelt', 'jar'] }],
    authority: 'food authority',
    sources: ['practice-chill-and-scrape', 'lard-extension'],
  },
  {
    id: 'store-cold-and-dry',
    gravity: 63,
    hazard: 'rancid or mouldy tallow',
    short:
      'Refrigerate clear, dry, strained tallow and use it within about 6 months, or freeze it for about 12. Throw it out when it smells sour or rancid or shows mould.',
    long: 'Fill clean, dry jars, close them, and keep light away. Water and crumbs are what spoil first. No official time for home-rendered tallow was found; this is what is said of bacon grease.',
    disagreement:
      'Many cooks keep tallow on the counter for months. No authority was found that vouches for that, so nothing is promised here.',
    topics: ['storage'],
    occasions: [{ activities: ['jar', 'store'] }],
    authority: 'food authority',
    sources: ['tallow-by-analogy', 'foodkeeper', 'lard-extension'],
  },
  {
    id: 'greasy-cloths',
    gravity: 62,
    hazard: 'cloths that heat themselves',
    short:
      'Wash greasy cloths soon, or dry them flat outdoors. Never leave them in a pile or put them hot from a dryer into a basket.',
    long: 'Oils that dry, and fat left in laundered cloths, can heat themselves in a heap. Beef fat does so less than most, which is no reason to try.',
    topics: ['fire'],
    occasions: [{ activities: ['clean-up'] }],
    authority: 'fire service',
    sources: ['oily-cloths'],
  },
  {
    id: 'not-down-the-drain',
    gravity: 61,
    hazard: 'blocked drains and sewers',
    short:
      'Pour no fat or greasy water down a sink, toilet or disposer. Chill it, lift the fat, bin it; only cold water free of fat may go down.',
    long: 'Hot water and soap only move the clog further along. Wipe pots with paper before you wash them, and take larger amounts to a collection point.',
    disagreement:
      'Common practice tips out the broth once the disc is lifted; what still floats in it sets in the pipe.',
    topics: ['drains'],
    occasions: [{ activities: ['chill', 'wash', 'clean-up'] }],
    authority: 'utility',
    sources: ['fog-drains'],
  },
  {
    id: 'selling',
    gravity: 60,
    hazard: 'selling without a licence',
    short:
      'What is said here is for your own table. Selling tallow usually needs a licence and an inspected kitchen: ask your food authority first.',
    long: 'Laws on food made at home differ from place to place, and meat products are often left out of them.',
    topics: ['selling'],
    occasions: [{ activities: ['sell', 'jar'] }],
    authority: 'food authority',
    sources: ['local-food-law'],
  },
];

/** What a person is about to do. Without an activity it is rendering. */
export interface Situation {
  readonly method?: Method;
  readonly cut?: Cut;
  readonly activity?: Activity;
  readonly season?: Season;
}

/** As many as a reply shows. */
export const MOST_CAUTIONS = 3;

/** The gravest cautions that fit, gravest first, three at most. */
export function cautionsFor({ method, cut, activity = 'render', season }: Situation): readonly Caution[] {
  return CAUTIONS.filter(({ occasions }) =>
    occasions.some(
      ({ methods, cuts, activities, seasons }) =>
        fits(method, methods) && fits(cut, cuts) && fits(activity, activities) && fits(season, seasons),
    ),
  ).slice(0, MOST_CAUTIONS);
}

/** All cautions about one topic, gravest first. */
export function cautionsAbout(topic: SafetyTopic): readonly Caution[] {
  return CAUTIONS.filter(({ topics }) => topics.includes(topic));
}

/** Undefined for an id that is none, such as one that was stored long ago. */
export function cautionById(id: string): Caution | undefined {
  return CAUTIONS.find((caution) => caution.id === id);
}

/** The whole of a caution: what to do, why, where opinions differ, and whose word stands above it. */
export function cautionInFull(caution: Caution): string {
  return `${advice(caution)} ${authorityWords([caution])}`;
}

/** The whole of several, a line each, and once at the end whose word stands above them. */
export function cautionsInFull(cautions: readonly Caution[]): readonly string[] {
  return cautions.length === 0 ? [] : [...cautions.map(advice), authorityWords(cautions)];
}

const advice = ({ short, long, disagreement }: Caution): string =>
  [short, long, disagreement].filter((sentence) => sentence !== undefined).join(' ');

/** “The manual of your appliance and your local fire service stand above all of this.” */
function authorityWords(cautions: readonly Caution[]): string {
  const named = [...new Set(cautions.map(({ authority }) => AUTHORITY_WORDS[authority]))];
  const stand = named.length === 1 ? 'stands above this' : 'stand above all of this';
  return `${capitalise(listWords(named))} ${stand}.`;
}

/** Something unknown fits only where nothing in particular is asked for. */
function fits<V>(value: V | undefined, wanted: readonly V[] | undefined): boolean {
  return wanted === undefined || (value !== undefined && wanted.includes(value));
}
