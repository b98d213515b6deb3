import type { Caution } from '../cautions.js';

/** Raw fat, what is kept of it, and what is left over. Gravest first. */
export const FOOD: readonly Caution[] = [
  {
    id: 'cool-in-two-steps',
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
    hazard: 'milk, a major allergen',
    short: 'Butter is milk. Label every butter blend “contains milk” and tell your guests.',
    long: 'Clarified butter is still milk. Keep separate spoons and jars for plain tallow.',
    topics: ['allergens'],
    occasions: [{ activities: ['butter-blend'] }],
    authority: 'food authority',
    sources: ['falcpa'],
  },
  {
    id: 'taste-who-should-not',
    hazard: 'food that somebody cannot eat, in a cup without a name',
    short: 'Do not take part if you may not eat what is in the cups, or are ill. Butter blends hold milk.',
    long: 'A blind cup hides what an allergic person needs to know, so name everything that is in any of them before the first is poured. Some people become allergic to the fat of cattle after a tick bite. Who has a cold tastes little, and who is sick may pass it on: a clean cup and spoon for everyone, and none shared.',
    topics: ['allergens'],
    occasions: [{ activities: ['taste'] }],
    authority: 'doctor',
    sources: ['falcpa', 'alpha-gal'],
  },
  {
    id: 'taste-warm-not-hot',
    hazard: 'fat that is tasted hot, or was kept warm for hours',
    short:
      'Just melted, the same for all: at most 120 °F (50 °C). What holds water stays warm 2 hours at most.',
    long: 'Fat gives no steam to warn of its heat, and a sip of it clings to the mouth. Measure it before you pour. Plain tallow keeps at that warmth, but blends with butter or water in them, and whatever bread was dipped in, go in the bin after two hours.',
    topics: ['burns', 'moist-blends'],
    occasions: [{ activities: ['serve'] }],
    authority: 'food authority',
    sources: ['fsis-danger-zone', 'tap-water-scalds', 'hot-fat-on-skin'],
  },
  {
    id: 'smoke-hot-or-cool-fast',
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
