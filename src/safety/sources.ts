/**
 * Where every figure that is not a member's own comes from. Other files name a source by its id; its title is
 * spelled here and nowhere else.
 */

/** `read`: seen in the publication or in a copy that quotes it. `from memory`: remembered, not seen again. */
export type HowKnown = 'read' | 'from memory' | 'computed' | 'common practice, no source';

export interface Source {
  readonly title: string;
  /** Who stands behind it. */
  readonly body: string;
  /** Section, table or record. */
  readonly where: string;
  readonly known: HowKnown;
}

/** Something taken as given in a calculation, in words for the person who asked. */
export interface Assumption {
  readonly text: string;
  readonly sources: readonly SourceId[];
}

export const assumed = (text: string, ...sources: readonly SourceId[]): Assumption => ({ text, sources });

const COMMON_PRACTICE = { body: 'Home cooks', known: 'common practice, no source' } as const;

export const SOURCES = {
  // Units and quantities
  'nist-sp811': {
    title: 'Guide for the Use of the International System of Units (SP 811)',
    body: 'NIST',
    where: 'Appendix B, conversion factors',
    known: 'from memory',
  },
  'nist-hb44': {
    title: 'Handbook 44, Specifications and Tolerances for Weighing and Measuring Devices',
    body: 'NIST',
    where: 'Appendix C, tables of units',
    known: 'read',
  },

  // Water, steam and air
  'iapws-if97': {
    title: 'Industrial Formulation 1997 for the Properties of Water and Steam (R7-97)',
    body: 'IAPWS',
    where: 'section 8, equations 29 to 31, tables 34 to 36',
    known: 'read',
  },
  'iapws-sr1-86': {
    title: 'Supplementary Equations for the Properties of Saturated Water and Steam (SR1-86)',
    body: 'IAPWS',
    where: 'equations 1 to 3: vapour pressure, density of the liquid and of the steam',
    known: 'read',
  },
  'clapeyron-check': {
    title: 'Heat of vaporisation at 100 °C from the slope of the saturation line',
    body: 'This project',
    where: 'Clapeyron equation on IAPWS-IF97',
    known: 'computed',
  },
  'iso-2533': {
    title: 'Standard Atmosphere (ISO 2533:1975)',
    body: 'ISO',
    where: 'layer below 11 km',
    known: 'read',
  },
  'us-standard-atmosphere': {
    title: 'U.S. Standard Atmosphere, 1976',
    body: 'NOAA, NASA and US Air Force',
    where: 'constants and layer below 11 km',
    known: 'read',
  },
  'fsis-high-altitude': {
    title: 'High Altitude Cooking and Food Safety',
    body: 'USDA FSIS',
    where: 'boiling point by altitude',
    known: 'read',
  },
  'extension-altitude-table': {
    title: 'Boiling point of water by altitude',
    body: 'US extension services',
    where: 'table, as quoted in an outdoor manual',
    known: 'read',
  },
  'crc-water-density': {
    title: 'Handbook of Chemistry and Physics',
    body: 'CRC',
    where: 'density of water at one atmosphere, 0 to 100 °C',
    known: 'from memory',
  },
  'ashrae-foods': {
    title: 'ASHRAE Handbook, Refrigeration: Thermal Properties of Foods',
    body: 'ASHRAE',
    where: 'specific heat and density of food components',
    known: 'read',
  },
  'pnw-421': {
    title: 'Using and Caring for Your Pressure Canner (PNW 421)',
    body: 'Pacific Northwest Extension',
    where: 'gauge pressure by altitude; venting',
    known: 'read',
  },

  // What beef fat and its companions hold
  'usda-tallow': {
    title: 'Fat, beef tallow',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 04001: 100 % fat; cup 205 g, tablespoon 12.8 g',
    known: 'read',
  },
  'usda-suet': {
    title: 'Beef, variety meats and by-products, suet, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13335: 94.00 % fat, 4.00 % water',
    known: 'read',
  },
  'usda-separable-fat': {
    title: 'Beef, retail cuts, separable fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13019: 70.89 % fat, 20.21 % water',
    known: 'read',
  },
  'usda-external-fat': {
    title: 'Beef, Australian, imported, grass-fed, external fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 23296: 51.36 % fat, 36.51 % water',
    known: 'read',
  },
  'usda-marbled-external-fat': {
    title: 'Beef, Australian, imported, marbled (score 9), external fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 23300: 68.07 % fat, 25.17 % water',
    known: 'read',
  },
  'usda-brisket-lean': {
    title: 'Beef, brisket, whole, separable lean only, all grades, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13023: 7.37 % fat, 70.29 % water',
    known: 'read',
  },
  'usda-butter-salted': {
    title: 'Butter, salted',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 01001: 81.11 % fat, 15.87 % water, sodium 643 mg per 100 g; cup 227 g',
    known: 'read',
  },
  'usda-butter-unsalted': {
    title: 'Butter, without salt',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 01145: 81.11 % fat, 17.94 % water, sodium 11 mg per 100 g',
    known: 'read',
  },
  'usda-salt': {
    title: 'Salt, table',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 02047: teaspoon 6.0 g; sodium 38,758 mg per 100 g',
    known: 'read',
  },
  'codex-211': {
    title: 'Standard for Named Animal Fats (CXS 211-1999)',
    body: 'Codex Alimentarius',
    where: 'edible tallow: relative density at 40 °C against water at 20 °C',
    known: 'from memory',
  },
  'malaysia-reg-181': {
    title: 'Food Regulations 1985',
    body: 'Malaysia',
    where: 'regulation 181, suet: relative density 0.893 to 0.898 at 40 °C',
    known: 'read',
  },
  'raw-fat-density': {
    title: 'Density of raw beef fat from its composition, about 0.94 g/mL',
    body: 'This project',
    where: 'between suet, 0.92, and separable fat, 0.96: USDA composition with ASHRAE component densities',
    known: 'computed',
  },
  'solid-tallow-density': {
    title: 'Density of set tallow, 0.92 to 0.94 g/mL near room temperature',
    body: 'Handbooks of fats',
    where: 'solid fat at 15 to 20 °C',
    known: 'from memory',
  },
  'pouring-density': {
    title: 'Density of liquid tallow near 60 °C, 0.88 to 0.90 g/mL',
    body: 'This project',
    where: 'the ASHRAE food model, and the density at 40 °C carried on with the usual slope of oils',
    known: 'computed',
  },
  'tallow-melting-range': {
    title: 'Melting range of beef tallow, 40 to 50 °C',
    body: 'Textbook of food chemistry, 2011',
    where: 'table of animal fats; museum databases that cite handbooks give 27 to 40 °C',
    known: 'read',
  },
  'tallow-smoke-point': {
    title: 'Smoke point of beef tallow, 190 to 215 °C',
    body: 'Cookery tables',
    where: 'no primary measurement was found',
    known: 'read',
  },
  'salt-solubility': {
    title: 'Solubility of salt in water, 26.45 % by weight at 21 °C',
    body: 'Salt industry',
    where: 'solubility table',
    known: 'read',
  },
  'salt-in-fat': {
    title: 'Salt does not dissolve in fat',
    body: 'General chemistry',
    where: 'solubility of ionic solids',
    known: 'from memory',
  },
  'xanthan-cfr': {
    title: '21 CFR 172.695, Xanthan gum',
    body: 'FDA',
    where: 'use in foods',
    known: 'read',
  },
  'xanthan-range': {
    title: 'Usual level of xanthan gum, 0.05 to 0.5 %',
    body: 'Ingredient literature',
    where: 'use levels',
    known: 'from memory',
  },
  'water-activity-table': {
    title: 'Water activity of salt solutions at 25 °C',
    body: 'ICMSF',
    where: 'table of salt per cent against water activity',
    known: 'from memory',
  },

  // Fire, burns, steam
  'nfpa-cooking-oil': {
    title: 'Cooking Oil Safety',
    body: 'NFPA',
    where: 'tips for frying and for a fire in a pan',
    known: 'read',
  },
  'nfpa-10': {
    title: 'NFPA 10, Standard for Portable Fire Extinguishers',
    body: 'NFPA',
    where: 'classes of fire: K for cooking fats',
    known: 'read',
  },
  'nfpa-outdoor-fryer': {
    title: 'Outdoor fryer safety',
    body: 'NFPA',
    where: 'burners outdoors, on level ground, away from buildings',
    known: 'from memory',
  },
  'fire-note-610': {
    title: 'Fire Research Note 610 (1965)',
    body: 'Fire Research Station, UK',
    where: 'abstract: cooking fats catch fire by themselves at 310 to 360 °C',
    known: 'read',
  },
  'steam-expansion': {
    title: 'Water at 20 °C to steam at 100 °C: about 1,670 times the volume',
    body: 'This project',
    where: 'specific volumes of water and steam',
    known: 'computed',
  },
  'hot-fat-inference': {
    title: 'What follows for hot fat from the boiling point of water and the fire limits of fat',
    body: 'This project',
    where: 'reasoned from steam tables and fire research',
    known: 'computed',
  },
  'heat-steps': {
    title: 'Caution 350 °F, stop 375 °F, danger from 400 °F',
    body: 'This project',
    where: 'set below the lowest published smoke points and the fire limit',
    known: 'computed',
  },
  'burns-first-aid': {
    title: 'First aid for burns: cool running water for 20 minutes',
    body: 'Burn associations and hospitals',
    where: 'first aid pages; some bodies say at least 10 minutes',
    known: 'read',
  },
  'hot-fat-on-skin': {
    title: 'Hot fat goes on burning until it is off the skin',
    body: 'General first aid',
    where: 'burns by hot liquids',
    known: 'from memory',
  },
  'oily-cloths': {
    title: 'Oily cloths can heat themselves',
    body: 'Fire services',
    where: 'advice on rags and laundry',
    known: 'from memory',
  },

  // Pressure cookers
  'pressure-cooker-instructions': {
    title: 'Instructions for pressure cookers: fill limits, release, gasket and vent',
    body: 'Makers’ manuals and cookery instruction pages',
    where: 'two thirds full at most, half for what foams; natural release for fat',
    known: 'read',
  },
  'pressure-cooker-fat-limit': {
    title: 'A common limit of a quarter cup of fat or oil under pressure',
    body: 'Cookery instruction page',
    where: 'amount of oil; the maker’s own limit stands above it',
    known: 'read',
  },

  // Time, temperature and storage
  'fsis-danger-zone': {
    title: 'Danger Zone (40 °F to 140 °F)',
    body: 'USDA FSIS',
    where: 'two-hour rule, one hour above 90 °F',
    known: 'read',
  },
  'food-code-cooling': {
    title: 'Food Code, 3-501.14 Cooling',
    body: 'FDA',
    where: '135 to 70 °F within 2 hours, to 41 °F within 6 hours in all',
    known: 'read',
  },
  'food-code-holding': {
    title: 'Food Code, 3-501.16 Hot and cold holding',
    body: 'FDA',
    where: '41 °F or below, 135 °F or above',
    known: 'from memory',
  },
  'food-code-date': {
    title: 'Food Code, 3-501.17 Date marking',
    body: 'FDA',
    where: 'at most 7 days at 41 °F or below',
    known: 'from memory',
  },
  'food-code-thawing': {
    title: 'Food Code, 3-501.13 Thawing',
    body: 'FDA',
    where: 'refrigerator, running water, microwave, or as part of cooking',
    known: 'read',
  },
  'fsis-thawing': {
    title: 'Safe defrosting; smoking meat',
    body: 'USDA FSIS',
    where: 'never on the counter; thaw fully before smoking',
    known: 'read',
  },
  'fsis-slow-cooker': {
    title: 'Slow Cookers and Food Safety',
    body: 'USDA FSIS',
    where: 'thaw first, keep the lid on, follow the manual',
    known: 'from memory',
  },
  'cold-storage-chart': {
    title: 'Cold Food Storage Chart',
    body: 'FoodSafety.gov and USDA FSIS',
    where: 'ground beef 1 to 2 days, roasts 3 to 5 days; freezer times are for quality',
    known: 'read',
  },
  'raw-fat-by-analogy': {
    title: 'Raw fat kept as the meat it resembles: ground as ground beef, whole as a roast',
    body: 'This project',
    where: 'no official line for raw fat was found',
    known: 'computed',
  },
  foodkeeper: {
    title: 'FoodKeeper data',
    body: 'USDA',
    where: 'bacon grease 6 months cold and 12 frozen; butter 1 to 2 months cold and 6 to 9 frozen',
    known: 'read',
  },
  'tallow-by-analogy': {
    title: 'Clean dry tallow kept as bacon grease is: about 6 months cold, about 12 frozen',
    body: 'This project',
    where: 'no official entry for home-rendered tallow was found',
    known: 'computed',
  },
  'lard-extension': {
    title: 'Home lard: keep it clean, dry, dark and closed',
    body: 'US extension services',
    where: 'lard literature',
    known: 'from memory',
  },
  'minnesota-folder-120': {
    title: 'Folder 120 on home lard (1962)',
    body: 'Minnesota Extension',
    where: 'careful rendering gets 90 % of leaf fat; keep raw fat at 32 to 35 °F',
    known: 'read',
  },
  'fsis-ground-beef': {
    title: 'Ground Beef and Food Safety',
    body: 'USDA FSIS',
    where: 'grinding spreads bacteria; 160 °F; wash and sanitise',
    known: 'read',
  },
  'low-acid-law': {
    title: '21 CFR 113.3 and 114.3, low-acid foods',
    body: 'FDA',
    where: 'pH above 4.6 with water activity above 0.85',
    known: 'from memory',
  },
  'botulism-limits': {
    title: 'Fish and Fishery Products Hazards and Controls Guidance',
    body: 'FDA',
    where: 'Appendix 4, limits for growth of Clostridium botulinum',
    known: 'from memory',
  },
  'botulism-cold': {
    title: 'Letters in Applied Microbiology 24 (1997) 95–100',
    body: 'Society for Applied Microbiology',
    where: 'toxin formed in 2 to 5 weeks at 3 to 5 °C',
    known: 'read',
  },
  'botulism-oil-outbreaks': {
    title: 'Botulism from garlic in oil and onions in margarine',
    body: 'Australian food-safety authority',
    where: 'outbreaks from low-acid food under fat',
    known: 'read',
  },
  'canning-fats': {
    title: 'Canning with fats and oils',
    body: 'Penn State Extension',
    where: 'caution: fat shields spores, slows heat and spoils seals',
    known: 'read',
  },
  'canning-butter': {
    title: 'Canning butter is not recommended: no tested home process',
    body: 'National Center for Home Food Preservation',
    where: 'as quoted by others',
    known: 'read',
  },

  // Grinder, drains, smoke, clay, allergens
  'osha-grinder': {
    title: 'Meat grinder guidance',
    body: 'OSHA',
    where: 'pusher, guards, unplugging',
    known: 'from memory',
  },
  'fog-drains': {
    title: 'Fats, oils and grease down the drain',
    body: 'Cities and the EPA',
    where: 'programmes against sewer blockages',
    known: 'read',
  },
  'cpsc-charcoal': {
    title: 'Carbon monoxide from charcoal and smokers',
    body: 'US CPSC',
    where: 'outdoors only, never in a garage or tent',
    known: 'read',
  },
  'fda-clay-lead': {
    title: 'Warnings on lead in bentonite clay (2016)',
    body: 'FDA; Minnesota departments of health and agriculture',
    where: 'consumer advisories; 37.5 ppm measured in one product',
    known: 'read',
  },
  'fda-lead-levels': {
    title: 'Interim reference levels for lead in food',
    body: 'FDA',
    where: '2.2 µg a day for children, 8.8 for women of child-bearing age',
    known: 'from memory',
  },
  'bentonite-cfr': {
    title: '21 CFR 184.1155, Bentonite',
    body: 'FDA',
    where: 'processing aid that leaves no significant residue',
    known: 'from memory',
  },
  falcpa: {
    title: 'Food Allergen Labeling and Consumer Protection Act',
    body: 'US law',
    where: 'milk is a major allergen',
    known: 'from memory',
  },
  'local-food-law': {
    title: 'Law on selling food made at home',
    body: 'State and local food authorities',
    where: 'differs from place to place; meat products are usually excluded',
    known: 'from memory',
  },

  // Rendering
  'ap-42': {
    title: 'AP-42, section 9.5.3 Meat Rendering Plants',
    body: 'US EPA',
    where: 'wet and dry rendering; finer pieces release more',
    known: 'read',
  },

  // Common practice
  'practice-water-ratio': {
    ...COMMON_PRACTICE,
    title: '8 US cups of water to 2 to 3 lb of raw fat',
    where: 'wet rendering',
  },
  'practice-dry-starter': {
    ...COMMON_PRACTICE,
    title: 'About a cup of water to start a dry render',
    where: 'dry rendering',
  },
  'practice-time': {
    ...COMMON_PRACTICE,
    title: 'Render for at least 2 hours',
    where: 'wet rendering; a pressure cooker near 240 °F gives more at 2 hours than at 1',
  },
  'practice-headspace': {
    ...COMMON_PRACTICE,
    title: 'Leave a third of the pot empty',
    where: 'open pots',
  },
  'practice-packing': {
    ...COMMON_PRACTICE,
    title: 'Room taken by ground, minced and cubed fat in a pot',
    where: 'loose fill of the vessel',
  },
  'practice-yield': {
    ...COMMON_PRACTICE,
    title: 'Ground fat gives 36 to 60 % of its weight as tallow, coarse cubes 12 to 28 %',
    where: 'yield by cut',
  },
  'practice-jar-headspace': {
    ...COMMON_PRACTICE,
    title: 'Fill a jar to about a finger below the rim',
    where: 'jarring',
  },
  'practice-chill-and-scrape': {
    ...COMMON_PRACTICE,
    title: 'Chill to a disc, lift, scrape the brown layer, re-melt into jars',
    where: 'finishing',
  },
  'practice-rewash': {
    ...COMMON_PRACTICE,
    title: 'Repeated boiling and salting the water: most tasters notice no difference',
    where: 'washing tallow',
  },
  'practice-bentonite': {
    ...COMMON_PRACTICE,
    title: 'Bentonite leaves grit and an earthy taste',
    where: 'clarifying',
  },
  'practice-smoke': {
    ...COMMON_PRACTICE,
    title: 'Smoke liquid tallow about 2 hours for light, 6 for strong, 8 to 12 for heavy',
    where: 'smoking',
  },
  'practice-butter-blend': {
    ...COMMON_PRACTICE,
    title: 'Salted butter and tallow in equal volumes, melted below 100 °F',
    where: 'butter blend',
  },
  'practice-salted-blend': {
    ...COMMON_PRACTICE,
    title: '1 cup tallow, ½ cup water, ⅛ tsp salt, ⅛ tsp xanthan gum, blended 30 s, chilled',
    where: 'salted blend',
  },
  'practice-ventilate': {
    ...COMMON_PRACTICE,
    title: 'Heat fat under a running hood or beside an open window',
    where: 'rendering and frying indoors',
  },
  'practice-hot-handling': {
    ...COMMON_PRACTICE,
    title: 'Handling hot fat: dry tools, mitts, warm dry jars, nobody underfoot',
    where: 'straining, pouring and lifting',
  },
} as const satisfies Record<string, Source>;

export type SourceId = keyof typeof SOURCES;

/** A source by its id. */
export function sourceOf(id: SourceId): Source {
  return SOURCES[id];
}

/** One line for a person: title, body, where, and how it is known. */
export function citation(id: SourceId): string {
  const { title, body, where, known } = sourceOf(id);
  if (known === 'common practice, no source') return `${title} (common practice, no source)`;
  const caveat = known === 'read' ? '' : ` (${known})`;
  return `${title}, ${body}: ${where}${caveat}`;
}

/** A few words for the foot of a reply: who says so, and where; `citation` tells the rest. */
export function briefCitation(id: SourceId): string {
  const { title, body, known } = sourceOf(id);
  if (known === 'common practice, no source') return known;
  return `${body}, ${title}${known === 'from memory' ? ' (from memory)' : ''}`;
}

/** Published sources before what was worked out here, and both before common practice; otherwise as named. */
export function weightiestFirst(ids: readonly SourceId[]): readonly SourceId[] {
  const weight = (id: SourceId): number => {
    const { known } = sourceOf(id);
    return known === 'common practice, no source' ? 2 : known === 'computed' ? 1 : 0;
  };
  return [...new Set(ids)].sort((a, b) => weight(a) - weight(b));
}

/** Each source once, in the order first named. */
export function sourcesOf(assumptions: readonly Assumption[]): readonly SourceId[] {
  return [...new Set(assumptions.flatMap((assumption) => assumption.sources))];
}
