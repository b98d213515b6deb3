import type { EChartsOption } from 'echarts';
import { DateTime } from 'luxon';
import { G_PER_LB } from '../trade/units.js';
import { chartPng, FAINT_TEXT, yieldAxis } from './chart.js';
import { markRadius, yieldAxisRange, yieldGridStep } from './marks.js';
import { PALETTE } from './palette.js';

export interface ScatterMark {
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
  readonly marks: readonly ScatterMark[];
  /** A line through expected yields, with the band of its interval where there is one; in order of x. */
  readonly line: readonly {
    readonly x: number;
    readonly mean: number;
    readonly low?: number | undefined;
    readonly high?: number | undefined;
  }[];
}

const WIDTH = 656;
const HEIGHT = 430;
const HEAD = 62;
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

function optionsOf({ axis, marks, line }: ScatterPicture): EChartsOption {
  const across = (x: number): number => (axis === 'weight' ? Math.log2(x / G_PER_LB) : x);
  const [from, to] = yieldAxisRange([
    ...marks.map((mark) => mark.yield),
    ...line.flatMap(({ mean, low, high }) => [mean, low ?? mean, high ?? mean]),
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
    xAxis: xAxisOf(
      axis,
      label,
      marks.map(({ x }) => x),
    ),
    yAxis: yieldAxis([from, to], yieldGridStep([from, to])),
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
        lineStyle: { color: PALETTE.mean, width: 3 },
        data: line.map(({ x, mean }) => [across(x), within(mean)]),
      },
      scatter(true),
    ],
  };
}

function xAxisOf(
  axis: ScatterPicture['axis'],
  label: { readonly fontFamily: string; readonly color: string; readonly fontSize: number },
  days: readonly number[],
): NonNullable<EChartsOption['xAxis']> {
  const bare = {
    axisLine: { show: false },
    axisTick: { show: false },
    splitLine: { show: false },
  };
  switch (axis) {
    case 'day': {
      const [first, last] = dayRange(days);
      return {
        ...bare,
        type: 'value',
        min: first,
        max: last,
        interval: (last - first) / DAY_STEPS,
        axisLabel: {
          ...label,
          formatter: (ms: number) => dayLabel(ms, last - first),
        },
      };
    }
    case 'hours':
      return {
        ...bare,
        type: 'value',
        scale: true,
        axisLabel: { ...label, formatter: (hours: number) => `${hours} h` },
      };
    case 'weight':
      return {
        ...bare,
        type: 'value',
        scale: true,
        minInterval: 1,
        maxInterval: 1,
        axisLabel: { ...label, lineHeight: 16, formatter: weightLabel },
      };
  }
}

const DAY_STEPS = 5;
const DAY_MS = 86_400_000;

/** From the first to the last moment with some room, at least a few days. */
function dayRange(days: readonly number[]): readonly [number, number] {
  const [first, last] = days.length === 0 ? [0, 0] : [Math.min(...days), Math.max(...days)];
  const room = Math.max(DAY_STEPS * DAY_MS - (last - first), 0.04 * (last - first)) / 2;
  return [first - room, last + room];
}

function dayLabel(ms: number, range: number): string {
  return DateTime.fromMillis(ms, { zone: 'utc' }).toFormat(range > 300 * DAY_MS ? 'LLL yyyy' : 'd LLL');
}

/** "4 lb" over "1.8 kg"; half steps bear no label. */
function weightLabel(doublings: number): string {
  if (!Number.isInteger(doublings)) return '';
  const pounds = 2 ** doublings;
  const kg = (pounds * G_PER_LB) / 1000;
  return `${pounds < 1 ? `${16 * pounds} oz` : `${pounds} lb`}\n${Number(kg.toPrecision(2))} kg`;
}
