import type { Caution } from '../cautions.js';

/** What can kill at once, or unnoticed: a burst, carbon monoxide, botulism, burning fat. Gravest first. */
export const DEADLY: readonly Caution[] = [
  {
    id: 'pressure-makers-limit',
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
];
