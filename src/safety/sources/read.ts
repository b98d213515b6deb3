/** Sources seen in the publication itself or in a copy that quotes it. */

export const READ = {
  // Units and quantities
  'nist-hb44': {
    title: 'Handbook 44, Specifications and Tolerances for Weighing and Measuring Devices',
    body: 'NIST',
    where: 'Appendix C, tables of units',
  },

  // Water, steam and air
  'iapws-if97': {
    title: 'Industrial Formulation 1997 for the Properties of Water and Steam (R7-97)',
    body: 'IAPWS',
    where: 'section 8, equations 29 to 31, tables 34 to 36',
  },
  'iapws-sr1-86': {
    title: 'Supplementary Equations for the Properties of Saturated Water and Steam (SR1-86)',
    body: 'IAPWS',
    where: 'equations 1 to 3: vapour pressure, density of the liquid and of the steam',
  },
  'iso-2533': {
    title: 'Standard Atmosphere (ISO 2533:1975)',
    body: 'ISO',
    where: 'layer below 11 km',
  },
  'us-standard-atmosphere': {
    title: 'U.S. Standard Atmosphere, 1976',
    body: 'NOAA, NASA and US Air Force',
    where: 'constants and layer below 11 km',
  },
  'fsis-high-altitude': {
    title: 'High Altitude Cooking and Food Safety',
    body: 'USDA FSIS',
    where: 'boiling point by altitude',
  },
  'ashrae-foods': {
    title: 'ASHRAE Handbook, Refrigeration: Thermal Properties of Foods',
    body: 'ASHRAE',
    where: 'specific heat and density of food components',
  },
  'pnw-421': {
    title: 'Using and Caring for Your Pressure Canner (PNW 421)',
    body: 'Pacific Northwest Extension',
    where: 'gauge pressure by altitude; venting',
  },

  // What beef fat and its companions hold
  'usda-tallow': {
    title: 'Fat, beef tallow',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 04001: 100 % fat; cup 205 g, tablespoon 12.8 g',
  },
  'usda-suet': {
    title: 'Beef, variety meats and by-products, suet, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13335: 94.00 % fat, 4.00 % water',
  },
  'usda-separable-fat': {
    title: 'Beef, retail cuts, separable fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13019: 70.89 % fat, 20.21 % water',
  },
  'usda-external-fat': {
    title: 'Beef, Australian, imported, grass-fed, external fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 23296: 51.36 % fat, 36.51 % water',
  },
  'usda-marbled-external-fat': {
    title: 'Beef, Australian, imported, marbled (score 9), external fat, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 23300: 68.07 % fat, 25.17 % water',
  },
  'usda-brisket-lean': {
    title: 'Beef, brisket, whole, separable lean only, all grades, raw',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 13023: 7.37 % fat, 70.29 % water',
  },
  'usda-butter-salted': {
    title: 'Butter, salted',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 01001: 81.11 % fat, 15.87 % water, sodium 643 mg per 100 g; cup 227 g',
  },
  'usda-butter-unsalted': {
    title: 'Butter, without salt',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 01145: 81.11 % fat, 17.94 % water, sodium 11 mg per 100 g',
  },
  'usda-salt': {
    title: 'Salt, table',
    body: 'USDA FoodData Central, SR Legacy',
    where: 'NDB 02047: teaspoon 6.0 g; sodium 38,758 mg per 100 g',
  },
  'malaysia-reg-181': {
    title: 'Food Regulations 1985',
    body: 'Malaysia',
    where: 'regulation 181, suet: relative density 0.893 to 0.898 at 40 °C',
  },
  'tallow-melting-range': {
    title: 'Melting range of beef tallow, 40 to 50 °C',
    body: 'Textbook of food chemistry, 2011',
    where: 'table of animal fats; museum databases that cite handbooks give 27 to 40 °C',
  },
  'tallow-titre': {
    title: 'Merck Index, tallow',
    body: 'Merck',
    where: 'titre 40 to 46 °C',
  },
  'codex-premier-jus': {
    title: 'CXS 211, premier jus',
    body: 'Codex Alimentarius',
    where: 'section 2.3: rendered from fat of heart, caul, kidney and mesentery',
  },
  'tallow-smoke-point': {
    title: 'Smoke point of beef tallow, 190 to 215 °C',
    body: 'Cookery tables',
    where: 'no primary measurement was found',
  },
  'salt-solubility': {
    title: 'Solubility of salt in water, 26.45 % by weight at 21 °C',
    body: 'Salt industry',
    where: 'solubility table',
  },
  'xanthan-cfr': {
    title: '21 CFR 172.695, Xanthan gum',
    body: 'FDA',
    where: 'use in foods',
  },

  // Fire, burns, steam
  'nfpa-cooking-oil': {
    title: 'Cooking Oil Safety',
    body: 'NFPA',
    where: 'tips for frying and for a fire in a pan',
  },
  'nfpa-kitchen-fire': {
    title: 'Cooking fire safety tips',
    body: 'NFPA',
    where:
      'lid or baking sheet, oven door shut, when in doubt get out and close the door; as quoted by fire departments',
  },
  'nfpa-outdoor-fryer': {
    title: 'Turkey fryers',
    body: 'NFPA',
    where: 'discourages outdoor gas-fuelled fryers that cook in oil at home',
  },
  'cpsc-turkey-fryers': {
    title: 'Safety Tips for Turkey Fryers (2004)',
    body: 'US CPSC',
    where: 'outdoors, level, away from garages, decks and walls, never unattended',
  },
  'nfpa-10': {
    title: 'NFPA 10, Standard for Portable Fire Extinguishers',
    body: 'NFPA',
    where: 'classes of fire: K for cooking fats, which Europe and Australia call F',
  },
  'fire-note-610': {
    title: 'Fire Research Note 610 (1965)',
    body: 'Fire Research Station, UK',
    where: 'abstract: cooking fats catch fire by themselves at 310 to 360 °C',
  },
  'burns-first-aid': {
    title: 'First aid for burns: cool running water for 20 minutes',
    body: 'Burn associations and hospitals',
    where: 'first aid pages; some bodies say at least 10 minutes',
  },
  'burns-when-to-get-help': {
    title: 'Burns and scalds: when to get medical help',
    body: 'NHS and St John Ambulance',
    where: 'bigger than the hand, deep, white or charred, face, hands, feet, groin; children under five',
  },

  // Pressure cookers
  'pressure-cooker-instructions': {
    title: 'Instructions for pressure cookers: fill limits, release, gasket and vent',
    body: 'Makers’ manuals and cookery instruction pages',
    where: 'two thirds full at most, half for what foams; natural release for fat',
  },
  'pressure-cooker-fat-limit': {
    title: 'A common limit of a quarter cup of fat or oil under pressure',
    body: 'Cookery instruction page',
    where: 'amount of oil; the maker’s own limit stands above it',
  },

  // Time, temperature and storage
  'fsis-danger-zone': {
    title: 'Danger Zone (40 °F to 140 °F)',
    body: 'USDA FSIS',
    where: 'out for 2 hours at most, 1 above 90 °F',
  },
  'food-code-cooling': {
    title: 'Food Code, 3-501.14 Cooling',
    body: 'FDA',
    where: '135 to 70 °F within 2 hours, to 41 °F within 6 hours in all',
  },
  'food-code-thawing': {
    title: 'Food Code, 3-501.13 Thawing',
    body: 'FDA',
    where: 'refrigerator, running water, microwave, or as part of cooking',
  },
  'fsis-thawing': {
    title: 'Safe defrosting; smoking meat',
    body: 'USDA FSIS',
    where: 'cold water changed every 30 minutes; never on the counter; thaw fully before smoking',
  },
  'cold-storage-chart': {
    title: 'Cold Food Storage Chart',
    body: 'FoodSafety.gov and USDA FSIS',
    where: 'ground beef 1 to 2 days, roasts 3 to 5 days; freezer times are for quality',
  },
  foodkeeper: {
    title: 'FoodKeeper data',
    body: 'USDA',
    where: 'bacon grease 6 months cold and 12 frozen; butter 1 to 2 months cold and 6 to 9 frozen',
  },
  'nchfp-garlic': {
    title: 'Garlic-in-oil (2015)',
    body: 'NCHFP',
    where:
      'reviewed 2015: 40 °F or lower for no more than 4 days; several months frozen; Nummer and others, 2011',
  },
  'nchfp-headspace': {
    title: 'Headspace for freezing',
    body: 'NCHFP',
    where: 'wide mouth ½ in a pint and 1 in a quart, narrow ¾ and 1½ in',
  },
  'nc-state-frying': {
    title: 'Frying fat used again',
    body: 'NC State Extension',
    where:
      'strain, closed, cool and dark; replace a fifth each use; within a month; away on foam, darkness or early smoke',
  },
  'lard-standard': {
    title: '9 CFR 319.702, Lard',
    body: 'USDA FSIS',
    where: 'at most 0.2 % moisture, 0.05 % insolubles, 0.5 % free fatty acid',
  },
  'blunt-feeney': {
    title: 'Smoke point against free fatty acid',
    body: 'Blunt and Feeney',
    where: 'table in Experimental Cookery: lard 221 °C at 0.15 %, 190 °C at 0.61 %',
  },
  'minnesota-folder-120': {
    title: 'Folder 120 on home lard (1962)',
    body: 'Minnesota Extension',
    where: 'careful rendering gets 90 % of leaf fat; keep raw fat at 32 to 35 °F',
  },
  'fsis-ground-beef': {
    title: 'Ground Beef and Food Safety',
    body: 'USDA FSIS',
    where: 'grinding spreads bacteria; 160 °F; wash and sanitise',
  },
  'botulism-cold': {
    title: 'Letters in Applied Microbiology 24 (1997) 95–100',
    body: 'Society for Applied Microbiology',
    where: 'toxin formed in 2 to 5 weeks at 3 to 5 °C',
  },
  'botulism-oil-outbreaks': {
    title: 'Botulism from garlic in oil and onions in margarine',
    body: 'An Australian food-safety site',
    where: 'North American outbreaks from low-acid food under fat',
  },
  'canning-fats': {
    title: 'Canning with fats and oils',
    body: 'Penn State Extension',
    where: 'caution: fat shields spores, slows heat and spoils seals',
  },

  // Grinder, drains, smoke, clay, allergens
  'fog-drains': {
    title: 'Fats, oils and grease down the drain',
    body: 'Cities and the EPA',
    where: 'programmes against sewer blockages',
  },
  'cpsc-charcoal': {
    title: 'Carbon monoxide from charcoal and smokers',
    body: 'US CPSC',
    where: 'outdoors only, never in a garage or tent',
  },
  'fda-clay-lead': {
    title: 'Warnings on lead in bentonite clay (2016)',
    body: 'FDA; Minnesota departments of health and agriculture',
    where: 'consumer advisories; 37.5 ppm measured in one product',
  },

  // Rendering
  'lard-end-point': {
    title: 'Home lard: done at 255 °F with cracklings sinking',
    body: 'US extension services',
    where: 'as quoted by pages on homesteading',
  },
  'ap-42': {
    title: 'AP-42, section 9.5.3 Meat Rendering Plants',
    body: 'US EPA',
    where: 'wet and dry rendering; finer pieces release more',
  },
} as const;
