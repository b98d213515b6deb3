import type { Caution } from '../cautions.js';

/** What can kill at once, or unnoticed: a burst, carbon monoxide, botulism, burning fat. Gravest first. */
export const DEADLY: readonly Caution[] = [
  {
    id: 'pressure-makers-limit',
    hazard: 'a blocked vent and a burst of hot fat',
    short:
      'Read your pressure cooker’s manual first: many makers allow only ¼ cup of fat. Never fill past half.',
    long: 'Fat and foam can block the vent of a pressure cooker. If the manual forbids this much, use an open pot. Where it allows fat, fill to half at most, check gasket, vent and valve each time, keep free water in it and stay with it.',
    disagreement:
      'Common practice renders pounds of fat under pressure; published instructions often stop at about a quarter cup of fat or oil. Your manual decides.',
    topics: ['pressure'],
    occasions: [{ methods: ['pressure'], activities: ['heat-up', 'render'] }],
    authority: 'manual',
    sources: ['pressure-cooker-fat-limit', 'pressure-cooker-instructions'],
  },
  {
    id: 'pressure-not-a-fryer',
    hazard: 'fat without a limit to its heat under a locked lid',
    short:
      'Keep water in the pressure cooker to the end. Never fry under pressure unless the cooker is made for it.',
    long: 'With water inside, pressure sets the temperature. Once the water has gone, nothing holds the fat back from its smoke point or beyond, behind a lid you cannot open. A long run needs more water from the start, for you cannot top it up.',
    topics: ['pressure'],
    occasions: [
      { methods: ['pressure'], activities: ['render'], circumstance: 'long' },
      { methods: ['pressure'], activities: ['fry'] },
    ],
    authority: 'manual',
    sources: ['pressure-cooker-instructions', 'iapws-if97'],
  },
  {
    id: 'pressure-natural-release',
    hazard: 'hot fat spat from the vent',
    short: 'Let the pressure fall by itself. Never force the lid: a quick release spits hot fat.',
    long: 'Liquids that foam and liquids under fat go on boiling when the pressure drops. Turn the heat off, wait until the indicator has fallen, and open the lid away from your face.',
    topics: ['pressure'],
    occasions: [{ methods: ['pressure'], activities: ['release', 'strain'] }],
    authority: 'manual',
    sources: ['pressure-cooker-instructions'],
  },
  {
    id: 'smoker-outdoors',
    hazard: 'carbon monoxide',
    short:
      'Run smokers and charcoal outdoors only, never in a garage or tent, even with the door open: carbon monoxide kills.',
    long: 'It has no smell. Charcoal goes on giving it off until it is cold. Keep it away from doors and windows, and leave for fresh air and call for help if anyone feels dizzy, sick or sleepy.',
    topics: ['smoke-co'],
    occasions: [{ methods: ['smoker'], activities: ['render'] }, { activities: ['smoke'] }],
    authority: 'fire service',
    sources: ['cpsc-charcoal'],
  },
  {
    id: 'smoker-in-winter',
    hazard: 'carbon monoxide in a shelter',
    short:
      'However cold or wet it is, keep the smoker out from under a roof with walls: carbon monoxide gathers there and kills.',
    long: 'A garage, shed or porch fills with carbon monoxide even when its door is open. Wait for another day, or use the oven.',
    topics: ['smoke-co'],
    occasions: [
      { methods: ['smoker'], activities: ['render'], seasons: ['winter'] },
      { activities: ['smoke'], seasons: ['winter'] },
    ],
    authority: 'fire service',
    sources: ['cpsc-charcoal'],
  },
  {
    id: 'outdoor-burner',
    hazard: 'carbon monoxide, and a pot that tips over a flame',
    short:
      'Outdoor gas burner: outdoors only, no garage, no wooden deck, level, never unattended, children and pets away. NFPA discourages gas fryers.',
    long: 'A gas flame gives off carbon monoxide. Keep it clear of walls, roofs and dry leaves, and turn the flame off before you add or lift anything. NFPA, the fire protection association of the US, discourages fryers with gas burners at home altogether.',
    topics: ['burners', 'smoke-co', 'fire'],
    occasions: [
      { methods: ['open-pot', 'stovetop-dry'], activities: ['render'], burners: ['outdoor gas'] },
      { activities: ['heat-up', 'remelt', 'fry'], burners: ['outdoor gas'] },
    ],
    authority: 'fire service',
    sources: ['cpsc-turkey-fryers', 'nfpa-outdoor-fryer'],
  },
  {
    id: 'salted-blend-cold-only',
    hazard: 'botulism',
    short:
      'Only cold keeps a salted blend safe: chill it at once, 40 °F (4 °C) or below, use within 7 days. Never seal it warm.',
    long: 'It is a third water, and that water holds about 0.6 % salt where 10 % would be needed to hold back botulism. Boiling does not kill the spores, and some strains grow slowly even in a refrigerator, so the days count too. Freeze it for longer. When in doubt throw it out; do not taste it to find out.',
    disagreement:
      'Common practice calls it salted and blends it for the refrigerator without a time; its salt preserves nothing. The 7 days are the limit that food businesses have for moist ready food, taken by analogy.',
    topics: ['moist-blends', 'botulism', 'storage'],
    occasions: [{ activities: ['salted-blend'] }],
    authority: 'food authority',
    sources: [
      'food-code-date',
      'botulism-limits',
      'botulism-cold',
      'fsis-danger-zone',
      'practice-salted-blend',
    ],
  },
  {
    id: 'no-garlic-under-fat',
    hazard: 'botulism under fat',
    short:
      'With garlic, herbs or meat drippings in it, keep it at 40 °F (4 °C) or below and use it within 4 days.',
    long: 'Fat keeps air away from what lies in it, and fresh plants and drippings bring water and spores. Garlic in oil and onions in margarine have caused botulism. Freeze it for longer.',
    disagreement: 'The same advice said 7 days in 2002; its version of 2015 says 4.',
    topics: ['botulism', 'moist-blends', 'storage'],
    occasions: [{ activities: ['season', 'butter-blend'] }],
    authority: 'food authority',
    sources: ['nchfp-garlic', 'botulism-oil-outbreaks'],
  },
  {
    id: 'no-home-canning',
    hazard: 'botulism in a sealed jar',
    short: 'Do not can tallow for the shelf: a hot jar that seals itself is not canned. Keep it cold.',
    long: 'Fat shields spores from heat, slows the heat and spoils seals. A sealed jar also shuts out the air that some dangerous bacteria cannot live with. No tested home process for fat or its blends is known.',
    disagreement:
      'Many cooks take a lid that pops down for a safe seal. Authorities on home canning advise against canning butter and inventing recipes with fat.',
    topics: ['canning', 'botulism', 'storage', 'moist-blends'],
    occasions: [{ activities: ['store'] }],
    authority: 'food authority',
    sources: ['canning-fats', 'canning-butter', 'low-acid-law'],
  },
  {
    id: 'no-water-on-hot-fat',
    hazard: 'steam that throws burning fat',
    short:
      'Never put water, or wet or frozen fat, into hot fat: it flashes to steam. First let it fall below {pour}.',
    long: 'Water sinks under fat and becomes about 1,700 times its volume of steam, which throws the fat out burning. The limit is 10 °F (5 °C) under the boiling point where you live.',
    topics: ['water-in-fat', 'burns'],
    occasions: [
      { methods: ['stovetop-dry'], activities: ['heat-up'] },
      { methods: ['stovetop-dry', 'slow-cooker'], activities: ['render'], circumstance: 'frozen' },
    ],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'steam-expansion', 'nfpa-cooking-oil'],
  },
  {
    id: 'if-fat-burns',
    hazard: 'burning fat',
    short:
      'If fat catches fire: slide a metal lid on, heat off, do not move it. Never water. Not out at once? Get out and call.',
    long: 'Leave it covered until cold: lifting the lid too early lets the fire start again. Keep a metal lid that fits within reach of every pot of fat, and a mitt to slide it on from the side. A glass lid can break.',
    topics: ['fire'],
    occasions: [
      { methods: ['stovetop-dry'], activities: ['render'], circumstance: 'long' },
      { activities: ['remelt'], circumstance: 'large' },
    ],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'awake-at-night',
    hazard: 'fat on the heat while everybody sleeps',
    short:
      'Somebody must be awake while fat is on the heat. Otherwise turn it off, cool it and go on tomorrow.',
    long: 'Fat gives little warning between smoking and burning. A slow cooker with its lid on is the exception, where its manual allows it.',
    topics: ['fire'],
    occasions: [
      {
        methods: ['open-pot', 'pressure', 'stovetop-dry', 'oven', 'smoker'],
        activities: ['heat-up', 'render'],
        circumstance: 'overnight',
      },
    ],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'when-the-water-is-gone',
    hazard: 'a wet render that has boiled dry',
    short:
      'Add hot water only while it still bubbles. Once the water is gone the fat gets far hotter: add none then.',
    long: 'Water holds a pot at its boiling point; without it the fat climbs as far as the burner drives it, browns and smokes. Keep at least a third of the starting water in the pot. Once it is quiet, let the fat fall below {pour} before any water goes in.',
    topics: ['water-in-fat', 'fire'],
    occasions: [{ methods: ['open-pot', 'slow-cooker'], activities: ['render'], circumstance: 'top-ups' }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'iapws-if97'],
  },
  {
    id: 'stay-with-hot-fat',
    hazard: 'fat left alone on the heat',
    short:
      'Stay with fat while it is on the heat. Heat off if you must leave, and at the first wisp of smoke.',
    long: 'Fat gives little warning between smoking and burning. A long render is no exception: plan it for hours when somebody is there and awake.',
    topics: ['fire'],
    occasions: [
      { methods: ['open-pot'], activities: ['render'], circumstance: 'long' },
      { activities: ['heat-up'] },
    ],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
  {
    id: 'hot-water-while-it-bubbles',
    hazard: 'water added to a pot that has gone quiet',
    short:
      'Hot water only while the pot still bubbles. Once it is quiet, none until the fat is below {pour}.',
    long: 'While a pot boils there is water in it, and hot water may be added gently. When the bubbling has stopped the fat may be far hotter, and water becomes about 1,700 times its volume of steam.',
    topics: ['water-in-fat'],
    occasions: [{ methods: ['open-pot'], activities: ['render'] }],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'steam-expansion'],
  },
  {
    id: 'boils-lower',
    hazard: 'a limit that is true at sea level only',
    short: '{boils}. Let fat fall below {pour} before you add water or pour it.',
    long: 'Recipes that say 212 °F (100 °C) or 200 °F (93 °C) are written for sea level. Weather moves the boiling point by a degree or so.',
    topics: ['water-in-fat'],
    occasions: [
      { methods: ['open-pot', 'slow-cooker', 'stovetop-dry'], activities: ['render'], circumstance: 'high' },
    ],
    authority: 'fire service',
    sources: ['hot-fat-inference', 'iapws-if97', 'iso-2533'],
  },
  {
    id: 'fat-in-a-smoker',
    hazard: 'liquid fat over a fire',
    short:
      'In a smoker: a shallow, steady pan over indirect heat, 350 °F (175 °C) at most. Never leave it alone.',
    long: 'Fat that spills on coals feeds the fire. Set the pan level before you fill it, leave room at the rim, and fill it where it will stand. Close the vents and the lid if it catches fire, and keep your face away from the lid.',
    topics: ['smoke-co', 'fire'],
    occasions: [
      { methods: ['smoker'], activities: ['heat-up'] },
      { methods: ['smoker'], activities: ['render'], circumstance: 'long' },
    ],
    authority: 'fire service',
    sources: ['heat-steps', 'hot-fat-inference', 'nfpa-cooking-oil'],
  },
];
