/** What came out of a closed tasting. */
import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import {
  type Picture,
  type Refusal,
  type Reply,
  refusal,
  reply,
  type Table,
  withPicture,
} from '../chat/reply.js';
import type { Pictures } from '../pictures/pictures.js';
import type { Records } from '../records/database.js';
import { findTasting, type Tasting } from '../records/tastings.js';
import { sourceLines } from '../safety/sources.js';
import type { Ranged } from '../statistics/sensory/discrimination.js';
import { clamp } from '../words/numbers.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import { DETAILS, SHEET } from './names.js';
import { matterWords } from './planning.js';
import { nameAt, questionWords } from './questions.js';
import { assessorsIn, type Reading, readCounts, readingFigures } from './reading.js';
import { noSuchTasting } from './refusals.js';
import { resultWords } from './result-words.js';

export async function result(db: Records, number: number, call: Call): Promise<Reply | Refusal> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  return tasting.closed ? describeResult(tasting) : stillOpen(number);
}

const stillOpen = (number: number): Refusal =>
  refusal(
    `Tasting ${number} is still open`,
    `Nobody sees a count before it is closed: /tasting close number:${number}.`,
  );

/** A result in words; how it was worked out is behind a button. Still open, there is none. */
export function describeResult(tasting: Tasting): Reply | Refusal {
  const { number, planned, closed } = tasting;
  if (!closed) return stillOpen(number);
  const reading = readCounts(tasting, closed.counts);
  const { verdict, more } = resultWords(tasting, reading);
  const came = assessorsIn(closed.counts);
  return reply({
    title: verdict,
    lines: [
      `Tasting ${number}: ${questionWords(tasting)}`,
      ...more,
      ...(came < planned && came > 0 ? [`${came} of ${planned} planned tasters answered.`] : []),
    ],
    actions: [
      ...(came === 0 ? [] : [button('Figures', actionId(DETAILS, number))]),
      button('What was in the cups', actionId(SHEET, number, 1)),
    ],
    figures: { tasting: number, planned, ...readingFigures(reading) },
  });
}

/** The figures of a result, with a picture where there is an interval to draw. */
export async function details(
  db: Records,
  pictures: Pictures,
  number: number,
  call: Call,
): Promise<Reply | Refusal> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  if (!tasting.closed) return stillOpen(number);
  const reading = readCounts(tasting, tasting.closed.counts);
  const rows = rowsOf(tasting, reading);
  const told = reply({
    title: `Tasting ${number} in figures`,
    audience: 'only you',
    lines: [
      questionWords(tasting),
      'Chance: how often guessing alone would come this far. At most 5 % counts as a difference.',
    ],
    table: tableOf(rows),
    sources: sourceLines([SOURCE_OF[tasting.kind]]),
    figures: { tasting: number, planned: tasting.planned, ...readingFigures(reading) },
  });
  return withPicture(told, pictureOf(pictures, tasting, reading), call.missed);
}

const SOURCE_OF = { triangle: 'iso-4120', pair: 'iso-5495', ranking: 'iso-8587' } as const;

type Row = readonly [name: string, value: string];

const tableOf = (rows: readonly Row[]): Table => ({
  columns: [
    { title: 'Figure', align: 'left' },
    { title: 'Value', align: 'left' },
  ],
  rows,
});

function rowsOf(tasting: Tasting, reading: Reading): readonly Row[] {
  switch (reading.kind) {
    case 'no answers':
      return [['Tasters', '0']];
    case 'right or wrong': {
      const { answers, result, least, power } = reading;
      return [
        ['Right answers', `${answers.correct} of ${answers.assessors}`],
        ['Chance', chanceWords(result.p)],
        ['Right needed at 5 %', least === undefined ? 'more than there were' : String(least)],
        ['Can tell', shareWords(result.discriminators)],
        ['At most, 95 %', percentWords(result.verdict.discriminatorsAtMost)],
        ['d′', dPrimeWords(result.dPrime)],
        powerRow(tasting, power),
      ];
    }
    case 'either': {
      const { first, second, result, least, power } = reading;
      return [
        [nameAt(tasting, 0), String(first)],
        [nameAt(tasting, 1), String(second)],
        ['Chance', chanceWords(result.p)],
        ['Needed at 5 %', least === undefined ? 'more than there were' : String(least)],
        ['Name the first', shareWords(result.shareOfFirst)],
        ['d′ of the first', dPrimeWords(result.dPrime)],
        powerRow(tasting, power),
      ];
    }
    case 'ranked': {
      const { assessors, result, power } = reading;
      const sums = result?.rankSums ?? [];
      return [
        ['Tasters', String(assessors)],
        ...sums.map((sum, place): Row => [nameAt(tasting, place), `rank sum ${sum}`]),
        ...(result === undefined
          ? []
          : [
              ['Friedman', result.statistic.toFixed(2)] as const,
              ['Chance', `${chanceWords(result.p)}${result.method === 'exact' ? '' : ', about'}`] as const,
              [
                'Least clear gap',
                result.leastDifference === undefined ? 'none' : String(result.leastDifference),
              ] as const,
            ]),
        powerRow(tasting, power),
      ];
    }
  }
}

const powerRow = ({ matters }: Tasting, power: number): Row => [
  'Would have shown',
  `${percentWords(power)}, if ${matterWords(matters)}`,
];

const chanceWords = (p: number): string => (p < 0.001 ? 'below 0.1 %' : percentWords(p, 1));

const shareWords = ({ estimate, low, high }: Ranged): string =>
  `${percentWords(estimate)} (95 %: ${percentRangeWords(low, high)})`;

const dPrimeWords = ({ estimate, low, high }: Ranged): string =>
  `${numberWords(estimate)} (95 %: ${numberWords(low)} to ${numberWords(high)})`;

const numberWords = (value: number): string =>
  Number.isFinite(value) ? value.toFixed(2).replace('-', '−') : value > 0 ? 'no limit' : 'no limit below';

async function pictureOf(
  pictures: Pictures,
  tasting: Tasting,
  reading: Reading,
): Promise<Picture | undefined> {
  const bar = barOf(tasting, reading);
  if (bar === undefined) return undefined;
  const { title, label, note, share } = bar;
  const { estimate, low, high } = {
    estimate: clamp(share.estimate, 0, 1),
    low: clamp(share.low, 0, 1),
    high: clamp(share.high, 0, 1),
  };
  return {
    name: `tasting-${tasting.number}.png`,
    alt: `${title}: ${label}, ${note}. Estimate ${percentWords(estimate)}, 95 % interval ${percentRangeWords(low, high)}.`,
    png: await pictures.yields({
      title,
      caption: 'Dot: best guess. Bar: 95 % interval.',
      rows: [{ label, note, mean: estimate, low, high, batches: [] }],
    }),
  };
}

function barOf(tasting: Tasting, reading: Reading) {
  if (reading.kind === 'right or wrong') {
    const { correct, assessors } = reading.answers;
    return {
      title: `Tasting ${tasting.number}: how many can tell`,
      label: 'Can tell',
      note: `${correct} of ${assessors} right`,
      share: reading.result.discriminators,
    };
  }
  if (reading.kind === 'either') {
    const { first, second } = reading;
    return {
      title: `Tasting ${tasting.number}: more ${tasting.quality}`,
      label: nameAt(tasting, 0).slice(0, 22),
      note: `${first} of ${first + second} named it`,
      share: reading.result.shareOfFirst,
    };
  }
  return undefined;
}
