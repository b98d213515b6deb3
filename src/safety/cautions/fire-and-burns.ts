import type { Caution } from '../cautions.js';

/** Hot fat and the tools around it. Gravest first. */
export const FIRE_AND_BURNS: readonly Caution[] = [
  {
    id: 'heat-steps',
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
    hazard: 'food lowered into hot fat',
    short:
      'When you fry, heat slowly, leave headspace, use dry tools and dry food, and lower the food in away from you.',
    long: 'Water on food boils in the fat and makes it climb. Frozen food carries ice.',
    topics: ['burns', 'fire', 'water-in-fat'],
    occasions: [{ activities: ['fry'] }],
    authority: 'fire service',
    sources: ['nfpa-cooking-oil'],
  },
];
