import type { EChartsOption } from 'echarts';
import { G_PER_LB } from '../words/units.js';
import {
  chartPng,
  FAINT_TEXT,
  HEAD,
  markRadius,
  PALETTE,
  WIDTH,
  yieldAxis,
  yieldAxisRange,
} from './chart.js';
import { type DayAxis, dayAxis } from './day-axis.js';

interface ScatterMark {
  /** Grams, hours, or epoch milliseconds, as the axis says. */
  readonly x: number;
  /** A fraction. */
  readonly yield: number;
  readonly fatG: number;
  /** Stands out from the others. */
  readonly own?: boolean;
}

export interface ScatterPicture {
  readonly title: string;
  readonly caption: string;
  /** What runs from left to right; weights on a scale where doubling is a step. */
  readonly axis: 'weight' | 'hours' | 'day';
  /** Whose days an axis of days shows; UTC unless said. */
  readonly zone?: string;
  readonly marks: readonly ScatterMark[];
  /** A line through expected yields, with the band of its interval where there is one; in order of x. */
  readonly line: readonly {
    readonly x: number;
    readonly mean: number;
    readonly low?: number | undefined;
    readonly high?: number | undefined;
  }[];
  /** A yield with a line right across. */
  readonly level?: number | undefined;
}

const HEIGHT = 430;
const LINE = { color: PALETTE.mean, width: 3, type: 'solid' } as const;
/** Labels of weights take two lines. */
const FOOT = { weight: 84, hours: 68, day: 68 } as const;

/** Single batches against weight, time or date, with a line through what is expected. A PNG at twice the drawn size. */
export async function scatterPicture(picture: ScatterPicture): Promise<Uint8Array> {
  return chartPng({
    width: WIDTH,
    height: HEIGHT,
    title: picture.title,
    caption: picture.caption,
    options: optionsOf(picture),
  });
}

function optionsOf({ axis, zone, marks, line, level }: ScatterPicture): EChartsOption {
  const days =
    axis === 'day'
      ? dayAxis(
          marks.map(({ x }) => x),
          zone,
        )
      : undefined;
  const across = (x: number): number => (axis === 'weight' ? Math.log2(x / G_PER_LB) : (days?.place(x) ?? x));
  const [from, to] = yieldAxisRange([
    ...marks.map((mark) => mark.yield),
    ...line.flatMap(({ mean, low, high }) => [mean, low ?? mean, high ?? mean]),
    ...(level === undefined ? [] : [level]),
  ]);
  const label = { ...FAINT_TEXT, fontSize: 12 };
  const within = (value: number) => Math.min(to, Math.max(from, value));
  const banded = line.filter(({ low, high }) => low !== undefined && high !== undefined);
  const points = (own: boolean) =>
    marks
      .filter((mark) => (mark.own ?? false) === own)
      .map((mark) => [across(mark.x), mark.yield, markRadius(mark.fatG)]);
  const scatter = (own: boolean) =>
    ({
      type: 'scatter',
      silent: true,
      z: own ? 4 : 2,
      symbolSize: (value: readonly number[]) => 2 * (value[2] ?? 0),
      itemStyle: { color: own ? PALETTE.own : PALETTE.batch, opacity: own ? 0.72 : 0.34 },
      data: points(own),
    }) as const;
  return {
    grid: { left: 66, right: 30, top: HEAD, bottom: FOOT[axis] },
    xAxis: days ? daysAcross(days, label) : xAxisOf(axis, label),
    yAxis: yieldAxis([from, to]),
    series: [
      {
        type: 'custom',
        silent: true,
        z: 1,
        data: banded.length > 1 ? [[0]] : [],
        renderItem: (_params, api) => ({
          type: 'polygon',
          shape: {
            points: [
              ...banded.map(({ x, low = 0 }) => api.coord([across(x), within(low)])),
              ...banded.toReversed().map(({ x, high = 0 }) => api.coord([across(x), within(high)])),
            ],
          },
          style: { fill: PALETTE.mean, opacity: 0.13 },
        }),
      },
      scatter(false),
      {
        type: 'line',
        silent: true,
        z: 3,
        showSymbol: false,
        lineStyle: LINE,
        data: line.map(({ x, mean }) => [across(x), within(mean)]),
        markLine: {
          silent: true,
          symbol: 'none',
          label: { show: false },
          lineStyle: LINE,
          data: level === undefined ? [] : [{ yAxis: level }],
        },
      },
      scatter(true),
    ],
  };
}

type Label = { readonly fontFamily: string; readonly color: string; readonly fontSize: number };
type XAxis = NonNullable<EChartsOption['xAxis']>;

const BARE = { axisLine: { show: false }, axisTick: { show: false }, splitLine: { show: false } } as const;

function daysAcross({ from, to, step, label: words }: DayAxis, label: Label): XAxis {
  return {
    ...BARE,
    type: 'value',
    min: from,
    max: to,
    interval: step,
    axisLabel: { ...label, formatter: words },
  };
}

function xAxisOf(axis: ScatterPicture['axis'], label: Label): XAxis {
  const formatted =
    axis === 'weight'
      ? { minInterval: 1, maxInterval: 1, axisLabel: { ...label, lineHeight: 16, formatter: weightLabel } }
      : { axisLabel: { ...label, formatter: (hours: number) => `${hours} h` } };
  return { ...BARE, type: 'value', scale: true, ...formatted };
}

/** "4 lb" over "1.8 kg"; half steps bear no label. */
function weightLabel(doublings: number): string {
  if (!Number.isInteger(doublings)) return '';
  const pounds = 2 ** doublings;
  const kg = (pounds * G_PER_LB) / 1000;
  return `${pounds < 1 ? `${16 * pounds} oz` : `${pounds} lb`}\n${Number(kg.toPrecision(2))} kg`;
}
