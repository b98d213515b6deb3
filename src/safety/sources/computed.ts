/** What this project worked out itself, and from what. */

export const COMPUTED = {
  // Water, steam and air
  'clapeyron-check': {
    title: 'Heat of vaporisation at 100 °C from the slope of the saturation line',
    where: 'Clapeyron equation on IAPWS-IF97',
  },

  // What beef fat and its companions hold
  'raw-fat-density': {
    title: 'Density of raw beef fat from its composition, about 0.94 g/mL',
    where: 'between suet, 0.92, and separable fat, 0.96: USDA composition with ASHRAE component densities',
  },
  'suet-by-its-fat': {
    title: 'suet by USDA fat',
    where:
      'what trimmings give × 94.00 ÷ 70.89, the fat in suet (NDB 13335) over that in separable fat (NDB 13019)',
  },
  'pouring-density': {
    title: 'Density of liquid tallow near 60 °C, 0.88 to 0.90 g/mL',
    where: 'the ASHRAE food model, and the density at 40 °C carried on with the usual slope of oils',
  },

  // Fire, burns, steam
  'steam-expansion': {
    title: 'Water at 20 °C to steam at 100 °C: about 1,670 times the volume',
    where: 'specific volumes of water and steam',
  },
  'hot-fat-inference': {
    title: '10 °F under the boiling point of water, 200 °F at most',
    body: 'Our own margin',
    where: 'reasoned from steam tables',
  },
  'heat-steps': {
    title: 'down at 350 °F, off at 375 °F, danger from 400 °F',
    body: 'Our own margin',
    where: 'set below the lowest published smoke points and the fire limit',
  },
  'lifting-margin': {
    title: 'nobody lifts more than 22 lb of hot fat',
    body: 'Our own margin',
    where: 'under half of what the lifting equation of NIOSH allows',
  },
  'blender-margin': {
    title: 'fat at 120 to 140 °F in a jug half full',
    body: 'Our own margin',
    where: 'above the melting range of tallow and far below the boiling point of water',
  },

  // Time, temperature and storage
  'raw-fat-by-analogy': {
    title: 'raw fat kept as the meat it resembles: ground as ground beef, whole as a roast',
    body: 'Our own analogy',
    where: 'ground 1 to 2 days, cubes 1 to 2, whole pieces 3 to 5; no official line for raw fat was found',
  },
  'tallow-by-analogy': {
    title: 'dry tallow kept as bacon grease is in FoodKeeper, 6 months cold and 12 frozen',
    body: 'Our own analogy',
    where: 'no official entry for home-rendered tallow was found',
  },
} as const;
