import fc from 'fast-check';
import { CALCULATIONS, lineOf } from '../support/generated-calls.js';

/** Lines of one person, answered in order in one community. */
export interface CorpusPart {
  readonly as: string;
  readonly community: string;
  readonly admin: boolean;
  readonly lines: readonly string[];
}

const SEED = 20_261_125;
const EACH = 50;

const INVENTED = 'Ember Lane Supper Club';
const NEW = 'Quince Corner';

const METHODS = ['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'];
const CUTS = ['ground', 'minced', 'cubed'];
const TOPICS = [
  'fire',
  'burns',
  'water-in-fat',
  'pressure',
  'storage',
  'canning',
  'drain',
  'clay',
  'raw-fat',
];

const calculations = CALCULATIONS.flatMap(([command, given]) =>
  fc.sample(given, { numRuns: EACH, seed: SEED }).map((options) => lineOf(command, options)),
);

const byMethodAndCut = METHODS.flatMap((method) =>
  CUTS.flatMap((cut) => [
    `/water fat:"4 lb" method:${method} cut:${cut}`,
    `/plan fat:"4 lb" method:${method} cut:${cut} by:"Saturday 6pm"`,
    `/yield forecast fat:"4 lb" method:${method} cut:${cut}`,
    `/yield pooled method:${method} cut:${cut}`,
  ]),
);

const yields = [
  '/yield pooled',
  '/yield pooled since:2026-06-01',
  '/yield pooled since:tomorrow',
  ...['method', 'cut', 'weight', 'time', 'colour'].map((by) => `/yield compare by:${by}`),
  ...CUTS.map((cut) => `/yield pooled cut:${cut}`),
  '/yield mine',
  '/yield odd',
  '/yield next',
  '/yield next by:method',
  '/yield next by:cut difference:3',
  '/yield next difference:10',
  '/yield forecast fat:"4 lb" method:open-pot cut:ground hours:3',
  '/yield forecast fat:"90 lb" method:smoker cut:cubed hours:30',
  '/yield forecast fat:"3 lb" kind:suet method:oven cut:ground',
];

const looking = [
  '/help',
  ...['water', 'plan', 'blend', 'smoke', 'batch', 'yield', 'weekly', 'kit', 'safety', 'settings', 'help'].map(
    (name) => `/help about:${name}`,
  ),
  '/help about:"batch log"',
  '/help about:"/batch nonsense"',
  '/help about:nonsense',
  '/safety',
  ...TOPICS.map((topic) => `/safety topic:${topic}`),
  '/batch list',
  '/batch list whose:mine',
  '/batch list whose:mine method:oven cut:cubed',
  ...METHODS.map((method) => `/batch list method:${method}`),
  ...[1, 7, 41, 70, 91, 95].map((number) => `/batch show number:${number}`),
  '/batch show number:9999',
  '/weekly past',
  '/weekly preview',
];

const refused = [
  'water',
  '/',
  '/nonsense',
  '/batch',
  '/batch nonsense',
  'press:',
  'press:v1|nothing|1',
  'press:v0|batch.keep|1',
  '/water',
  '/water fat:4',
  '/water fat',
  '/water fat:"4 lb',
  '/water fat:4lb fat:5lb',
  '/water fat:"-4 lb"',
  '/water fat:"4 parsecs"',
  '/water fat:"0.001 g"',
  '/water fat:"9000 kg"',
  '/water fat:4lb colour:red',
  '/water fat:4lb method:boiling cut:sliced',
  '/water fat:4lb altitude:"90000 ft"',
  '/water fat:4lb vessel:bucket',
  '/water fat:60kg vessel:"2 qt"',
  '/water fat:4lb lid:half',
  '/water fat:4lb lean:120%',
  '/plan',
  '/plan fat:4lb tallow:1kg',
  '/plan fat:4lb by:"in 10 minutes"',
  '/plan fat:4lb by:"the day after never"',
  '/plan fat:4lb zone:nowhere',
  '/plan meals:0',
  '/blend butter',
  '/blend butter total:"3 cups" butter:"1 cup"',
  '/blend salted tallow:"1 cup" water:"100 ml" salt:400g',
  '/smoke tallow:"6 cups" strength:medium',
  '/batch log fat:1kg tallow:2kg method:oven cut:ground',
  '/batch log fat:1kg tallow:"960 g" method:oven cut:ground',
  '/batch correct number:9999 tallow:1kg',
  '/batch remove number:9999',
  '/kit remove what:nothing',
  '/kit add',
  '/settings show',
  '/settings weekly channel:#rendering day:sunday hour:18',
  '/yield compare',
  '/weekly post',
];

const writing = [
  '/kit list',
  '/kit add vessel:"stock pot" capacity:"12 qt" diameter:"11 in"',
  '/kit add vessel:crock kind:slow-cooker capacity:6qt altitude:"5280 ft"',
  '/kit add burner:"1800 W" burner-kind:electric price:0.31 fat-temperature:40F',
  '/kit list',
  '/water fat:5lb vessel:"STOCK POT"',
  '/plan fat:20lb vessel:"stock pot" by:"in 5 days"',
  '/plan fat:4lb vessel:crock',
  '/batch log fat:"4 lb 8 oz" tallow:"2 lb 1 oz" method:open-pot cut:ground minutes:150 taste:"clean, beefy" note:"brisket trim"',
  '/batch log fat:"4 lb" tallow:"1 lb 12 oz" method:pressure cut:minced minutes:"1 h 30 min" water:"8 cups" water-left:"2 cups" weighed-as:disc date:yesterday',
  '/batch log fat:"3 lb" tallow:"2 lb 8 oz" method:oven cut:ground',
  '/batch log fat:"3 lb" tallow:"2 oz" method:smoker cut:cubed',
  '/batch correct number:1',
  '/batch correct number:1 tallow:"2 lb" note:"brisket trim, leaner"',
  '/batch correct number:1 clear:note minutes:180',
  '/batch correct number:1 clear:fat',
  'press:v1|batch.correct|1|2 fat:"4 lb 8 oz" tallow:"2 lb 2 oz" minutes:"3 h" taste:clean note:""',
  'press:v1|batch.correct|1|3 fat:nonsense',
  '/batch show number:1',
  '/batch list',
  '/batch remove number:2',
  '/batch remove number:2',
  'press:v1|safety.report report:"Fat spat on the tiles" topic:burns',
  'press:v1|safety.report report:""',
  '/yield pooled',
  '/yield compare by:cut',
  '/yield mine',
  '/kit remove what:crock',
  '/kit remove what:altitude',
];

const managing = [
  '/settings show',
  '/settings weekly channel:#rendering day:sunday hour:18 zone:auckland',
  '/settings weekly channel:#rendering day:friday hour:17 zone:America/Chicago units:metric skip-quiet:yes',
  '/settings odd-batches count:no',
  '/settings odd-batches count:yes',
  '/settings show',
  '/weekly preview',
  '/weekly post',
  '/weekly post again:yes',
  '/weekly past',
  '/safety',
  'press:v1|safety.read',
  'press:v1|safety.read|1',
  '/settings no-weekly',
  '/settings no-weekly',
];

/** At least 500 lines: every command, every option, refusals, buttons, forms, in the invented community and in a new one. */
export const CORPUS: readonly CorpusPart[] = [
  { as: 'Tansy', community: INVENTED, admin: false, lines: [...looking, ...yields, ...byMethodAndCut] },
  { as: 'Sorrel', community: NEW, admin: false, lines: [...calculations, ...yields, ...looking] },
  { as: 'Sorrel', community: NEW, admin: false, lines: [...refused, ...writing] },
  { as: 'Marjoram', community: NEW, admin: true, lines: managing },
  { as: 'Tansy', community: INVENTED, admin: true, lines: [...writing, ...managing] },
  { as: 'Yarrow', community: INVENTED, admin: false, lines: yields },
  {
    as: 'Yarrow',
    community: 'Fig Yard',
    admin: false,
    lines: ['/safety report:"A lid rattled" topic:pressure'],
  },
];
