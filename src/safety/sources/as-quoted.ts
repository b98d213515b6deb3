/** Sources seen only where others quote them. What is told from them says so. */

export const AS_QUOTED = {
  'extension-altitude-table': {
    title: 'Boiling point of water by altitude',
    body: 'US extension services',
    where: 'table in an outdoor manual',
  },
  'fsis-slow-cooker': {
    title: 'Slow Cookers and Food Safety',
    body: 'USDA FSIS',
    where: 'always thaw first, keep the lid on, follow the manual; quoted by Iowa State Extension',
  },
  'canning-butter': {
    title: 'Canning butter is not recommended: no tested home process',
    body: 'National Center for Home Food Preservation',
    where: 'advice against it',
  },
} as const;
