/** What home cooks do: common practice, no source. */

export const PRACTICE = {
  // Common practice
  'practice-water-ratio': {
    title: '8 US cups of water to 2 to 3 lb of raw fat',
    where: 'wet rendering',
  },
  'practice-dry-starter': {
    title: 'About a cup of water to start a dry render',
    where: 'dry rendering',
  },
  'practice-time': {
    title: 'Render for at least 2 hours',
    where: 'wet rendering; a pressure cooker near 240 °F gives more at 2 hours than at 1',
  },
  'practice-headspace': {
    title: 'Leave a third of the pot empty',
    where: 'open pots',
  },
  'practice-packing': {
    title: 'Room taken by ground, minced and cubed fat in a pot',
    where: 'loose fill of the vessel',
  },
  'practice-yield': {
    title: 'Ground fat gives 36 to 60 % of its weight as tallow, coarse cubes 12 to 28 %',
    where: 'yield by cut',
  },
  'practice-jar-headspace': {
    title: 'Fill a jar to about a finger below the rim',
    where: 'jarring',
  },
  'practice-chill-and-scrape': {
    title: 'Chill to a disc, lift, scrape the brown layer, re-melt into jars',
    where: 'finishing',
  },
  'practice-rewash': {
    title: 'Repeated boiling and salting the water: most tasters notice no difference',
    where: 'washing tallow',
  },
  'practice-bentonite': {
    title: 'Bentonite leaves grit and an earthy taste',
    where: 'clarifying',
  },
  'practice-smoke': {
    title: 'Smoke liquid tallow about 2 hours for light, 6 for strong, 8 to 12 for heavy',
    where: 'smoking',
  },
  'practice-butter-blend': {
    title: 'Salted butter and tallow in equal volumes, melted below 100 °F or the tallow first',
    where: 'butter blend',
  },
  'practice-salted-blend': {
    title: '1 cup tallow, ½ cup water, ⅛ tsp salt, ⅛ tsp xanthan gum, blended 30 s, chilled',
    where: 'salted blend',
  },
  'practice-thinning': {
    title: 'Tallow that is too smoky thinned with three parts of plain',
    where: 'smoking',
  },
  'practice-graining': {
    title: 'Fat cooled slowly sets in coarse grains, cooled fast in fine ones',
    where: 'finishing',
  },
  'practice-freezing': {
    title: 'Broth frozen for 2 to 3 months, blends with water for 1 to 2',
    where: 'storing; food stays safe at 0 °F and the times are for taste',
  },
  'practice-ventilate': {
    title: 'Heat fat under a running hood or beside an open window',
    where: 'rendering and frying indoors',
  },
  'practice-blender': {
    title: 'Blend hot liquids in portions, the lid vented under a cloth',
    where: 'blending',
  },
  'practice-label': {
    title: 'Name and date on every lid',
    where: 'storing',
  },
  'practice-hot-handling': {
    title: 'Handling hot fat: dry tools, mitts, warm dry jars, nobody underfoot',
    where: 'straining, pouring and lifting',
  },
  'practice-palate': {
    title: 'Warm water and plain bread between cups of fat',
    where: 'tastings of fat',
  },
} as const;
