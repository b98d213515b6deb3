import type { EChartsOption, LineSeriesOption } from 'echarts';
import { chartPng, FAINT_TEXT, PALETTE, TEXT } from '../../../src/pictures/chart.js';
import type { Tally } from './tally.js';

const WIDTH = 656;
const HEIGHT = 500;
const LEFT = 60;
/** Room for the words at the ends of the lines. */
const RIGHT = 172;
/** Names of the axes begin where the title does. */
const NAME_PADDING = [0, 0, 0, 23 - LEFT];
/** The panel of what must not happen has a scale of its own, on which a single batch lost would show. */
const PANELS = [
  { left: LEFT, right: RIGHT, top: 86, height: 212 },
  { left: LEFT, right: RIGHT, top: 350, height: 62 },
];
const LABEL = { ...FAINT_TEXT, fontSize: 12 };

/** Sums over the rounds, those that must stay at nothing in a panel of their own; a PNG at twice the drawn size. */
export async function killRoundsPicture(
  tallies: readonly Tally[],
): Promise<{ readonly png: Uint8Array; readonly alt: string }> {
  // The last tally is of the calm end.
  const rounds = tallies.slice(0, -1);
  const last = rounds.at(-1);
  if (last === undefined) throw new RangeError('there is no round to draw');
  const [lost, twice] = [last.wrong.lost, doubledIn(last)];
  const title = `Killed ${amount(rounds.length)} times: ${amountOrNothing(lost)} lost, ${amountOrNothing(twice)} stored twice`;
  const png = await chartPng({
    width: WIDTH,
    height: HEIGHT,
    title,
    caption: 'In every round eight members save something while the bot is killed with kill -9.',
    options: optionsOf(rounds, last),
  });
  const alt = `${title}. ${amount(last.acknowledged)} saves were confirmed by the answer, ${amount(last.unheard)} were stored though the bot was killed before its answer. The lines of what was lost and what was stored twice ${lost + twice === 0 ? 'stay at 0' : 'rise'}.`;
  return { png, alt };
}

const doubledIn = ({ wrong }: Tally): number => wrong.doubled + wrong.twiceByOneRequest;
const amount = (count: number): string => count.toLocaleString('en-US');
const amountOrNothing = (count: number): string => (count === 0 ? 'nothing' : amount(count));

function optionsOf(rounds: readonly Tally[], last: Tally): EChartsOption {
  const [lost, twice] = [last.wrong.lost, doubledIn(last)];
  const worst = Math.max(2, lost, twice);
  const line = lineOf.bind(undefined, rounds);
  return {
    grid: PANELS,
    xAxis: [acrossAxis(0, rounds.length), acrossAxis(1, rounds.length)],
    yAxis: [
      upAxis(0, 'Saved so far'),
      { ...upAxis(1, 'What must not happen, so far'), max: worst, interval: Math.ceil(worst / 2) },
    ],
    series: [
      line(
        0,
        PALETTE.mean,
        `${amount(last.acknowledged)} saved,\nand the answer\nsaid so`,
        (one) => one.acknowledged,
      ),
      line(
        0,
        PALETTE.batch,
        `${amount(last.unheard)} saved,\nbut killed before\nthe answer`,
        (one) => one.unheard,
      ),
      // Both lie on the same line as long as all is well.
      line(1, PALETTE.own, `${amount(lost)} lost`, ({ wrong }) => wrong.lost, {
        width: 8,
        opacity: 0.45,
        labelUp: 9,
      }),
      line(1, PALETTE.ink, `${amount(twice)} stored twice`, doubledIn, { width: 2, labelUp: -9 }),
    ],
  };
}

/** A sum over the rounds, with words at its end. */
function lineOf(
  rounds: readonly Tally[],
  panel: number,
  color: string,
  words: string,
  of: (tally: Tally) => number,
  { width = 3, opacity = 1, labelUp = 0 } = {},
): LineSeriesOption {
  return {
    type: 'line',
    xAxisIndex: panel,
    yAxisIndex: panel,
    silent: true,
    showSymbol: false,
    lineStyle: { color, width, opacity },
    endLabel: {
      ...LABEL,
      show: true,
      color,
      fontWeight: 'bold',
      lineHeight: 15,
      offset: [12, -labelUp],
      formatter: words,
    },
    data: [[0, 0], ...rounds.map((tally, at) => [at + 1, of(tally)])],
  };
}

const BARE = { axisLine: { show: false }, axisTick: { show: false } } as const;

const acrossAxis = (panel: number, rounds: number) =>
  ({
    ...BARE,
    type: 'value',
    gridIndex: panel,
    min: 0,
    max: rounds,
    axisLabel: { ...LABEL, show: panel === 1 },
    splitLine: { show: false },
    name: panel === 1 ? 'rounds' : '',
    nameLocation: 'middle',
    nameGap: 28,
    nameTextStyle: LABEL,
  }) as const;

const upAxis = (panel: number, name: string) =>
  ({
    ...BARE,
    type: 'value',
    gridIndex: panel,
    min: 0,
    minInterval: 1,
    name,
    nameGap: 12,
    nameTextStyle: { ...TEXT, fontSize: 12, align: 'left', padding: NAME_PADDING },
    axisLabel: LABEL,
    splitLine: { lineStyle: { color: PALETTE.rule } },
  }) as const;
