/** Sources remembered and not seen again. What is told from them says so. */

export const FROM_MEMORY = {
  // Units and quantities
  'nist-sp811': {
    title: 'Guide for the Use of the International System of Units (SP 811)',
    body: 'NIST',
    where: 'Appendix B, conversion factors',
  },

  // Water, steam and air
  'crc-water-density': {
    title: 'Handbook of Chemistry and Physics',
    body: 'CRC',
    where: 'density of water at one atmosphere, 0 to 100 °C',
  },

  // What beef fat and its companions hold
  'codex-211': {
    title: 'Standard for Named Animal Fats (CXS 211-1999)',
    body: 'Codex Alimentarius',
    where: 'edible tallow: relative density at 40 °C against water at 20 °C',
  },
  'solid-tallow-density': {
    title: 'Density of set tallow, 0.92 to 0.94 g/mL near room temperature',
    body: 'Handbooks of fats',
    where: 'solid fat at 15 to 20 °C',
  },
  'salt-in-fat': {
    title: 'Salt does not dissolve in fat',
    body: 'General chemistry',
    where: 'solubility of ionic solids',
  },
  'xanthan-range': {
    title: 'Usual level of xanthan gum, 0.05 to 0.5 %',
    body: 'Ingredient literature',
    where: 'use levels',
  },
  'water-activity-table': {
    title: 'Water activity of salt solutions at 25 °C',
    body: 'ICMSF',
    where: 'table of salt per cent against water activity',
  },

  // Fire, burns, steam
  'nfpa-kid-free-zone': {
    title: 'Cooking safety: a zone of 3 ft around the stove without children and pets',
    body: 'NFPA',
    where: 'cooking with children at home',
  },
  'cpsc-co-home': {
    title: 'Carbon monoxide from gas appliances at home',
    body: 'US CPSC',
    where: 'ventilation and alarms',
  },
  'niosh-lifting': {
    title: 'Applications Manual for the Revised Lifting Equation',
    body: 'NIOSH',
    where: '23 kg at most, under the best conditions',
  },
  'hot-fat-on-skin': {
    title: 'Hot fat goes on burning until it is off the skin',
    body: 'General first aid',
    where: 'burns by hot liquids',
  },
  'stop-drop-roll': {
    title: 'When clothes catch fire',
    body: 'NFPA',
    where: 'stop, drop and roll',
  },
  'oily-cloths': {
    title: 'Oily cloths can heat themselves',
    body: 'Fire services',
    where: 'advice on rags and laundry',
  },

  // Time, temperature and storage
  'food-code-holding': {
    title: 'Food Code, 3-501.16 Hot and cold holding',
    body: 'FDA',
    where: '41 °F or below, 135 °F or above',
  },
  'food-code-date': {
    title: 'Food Code, 3-501.17 Date marking',
    body: 'FDA',
    where: 'at most 7 days at 41 °F or below',
  },
  'staph-toxin': {
    title: 'Bad Bug Book: Staphylococcus aureus',
    body: 'FDA',
    where: 'its toxin outlasts boiling',
  },
  'lard-extension': {
    title: 'Home lard: keep it clean, dry, dark and closed',
    body: 'US extension services',
    where: 'lard literature',
  },
  'low-acid-law': {
    title: '21 CFR 113.3 and 114.3, low-acid foods',
    body: 'FDA',
    where: 'pH above 4.6 with water activity above 0.85',
  },
  'botulism-limits': {
    title: 'Fish and Fishery Products Hazards and Controls Guidance',
    body: 'FDA',
    where: 'Appendix 4, limits for growth of Clostridium botulinum',
  },

  // Grinder, drains, smoke, clay, allergens
  'osha-grinder': {
    title: 'Meat grinder guidance',
    body: 'OSHA',
    where: 'pusher, guards, unplugging',
  },
  'fda-lead-levels': {
    title: 'Interim reference levels for lead in food',
    body: 'FDA',
    where: '2.2 µg a day for children, 8.8 for women of child-bearing age',
  },
  'bentonite-cfr': {
    title: '21 CFR 184.1155, Bentonite',
    body: 'FDA',
    where: 'processing aid that leaves no significant residue',
  },
  falcpa: {
    title: 'Food Allergen Labeling and Consumer Protection Act',
    body: 'US law',
    where: 'milk is a major allergen',
  },
  'alpha-gal': {
    title: 'Alpha-gal Syndrome',
    body: 'CDC',
    where: 'allergy to meat and fat of mammals after tick bites',
  },
  'tap-water-scalds': {
    title: 'Avoiding Tap Water Scalds',
    body: 'US CPSC',
    where: 'no deep burn within minutes at 120 °F, within seconds at 140 °F',
  },
  'iso-4120': {
    title: 'Sensory analysis: Methodology: Triangle test (ISO 4120)',
    body: 'ISO',
    where: 'serving in balanced order, three-digit codes, table A.1',
  },
  'iso-5495': {
    title: 'Sensory analysis: Methodology: Paired comparison test (ISO 5495)',
    body: 'ISO',
    where: 'one-sided and two-sided reading',
  },
  'iso-8587': {
    title: 'Sensory analysis: Methodology: Ranking (ISO 8587)',
    body: 'ISO',
    where: 'Friedman’s test and least differences of rank sums',
  },
  'sodium-daily-value': {
    title: '21 CFR 101.9, Nutrition labeling: daily value of sodium',
    body: 'FDA',
    where: '2,300 mg for adults and children from four years',
  },
  'niosh-lye': {
    title: 'Pocket Guide to Chemical Hazards: sodium hydroxide',
    body: 'NIOSH',
    where: 'corrosive to eyes and skin, heat with water, attacks aluminium',
  },
  'vet-fatty-food': {
    title: 'Fatty food and pancreatitis in dogs and cats',
    body: 'Veterinary advice',
    where: 'table scraps and trimmings',
  },
  'local-food-law': {
    title: 'Law on selling food made at home',
    body: 'State and local food authorities',
    where: 'differs from place to place; meat products are usually excluded',
  },
} as const;
