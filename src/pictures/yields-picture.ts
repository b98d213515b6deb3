import type { EChartsOption } from 'echarts';
import { chartPng, HEAD, markRadius, PALETTE, TEXT, WIDTH, yieldAxis, yieldAxisRange } from './chart.js';

interface YieldRow {
  readonly label: string;
  /** Under the label: how many batches from how many members. */
  readonly note: string;
  /** Fractions; undefined where the data cannot say. */
  readonly mean: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
  /** Single batches: yield as a fraction, raw fat in grams. */
  readonly batches: readonly { readonly yield: number; readonly fatG: number }[];
}

export interface YieldsPicture {
  readonly title: string;
  readonly caption: string;
  /** From top to bottom. */
  readonly rows: readonly YieldRow[];
}

const ROW_HEIGHT = 64;
const FOOT = 66;

/**
 * Means with their 95 % intervals, one row each, and the single batches behind them, sized by the weight of their fat.
 * Answers with a PNG at twice the drawn size.
 */
export async function yieldsPicture(picture: YieldsPicture): Promise<Uint8Array> {
  return chartPng({
    width: WIDTH,
    height: HEAD + FOOT + ROW_HEIGHT * Math.max(1, picture.rows.length),
    title: picture.title,
    caption: picture.caption,
    options: optionsOf(picture.rows),
  });
}

function optionsOf(rows: readonly YieldRow[]): EChartsOption {
  const shown = rows.flatMap(({ batches, low, high, mean }) => [
    ...batches.map((one) => one.yield),
    low,
    high,
    mean,
  ]);
  const [from, to] = yieldAxisRange(shown.filter((value) => value !== undefined));
  return {
    grid: { left: 188, right: 26, top: HEAD, bottom: FOOT },
    xAxis: yieldAxis([from, to]),
    yAxis: {
      type: 'category',
      inverse: true,
      data: rows.map(({ label, note }) => `{name|${label}}\n{note|${note}}`),
      axisLabel: {
        ...TEXT,
        margin: 14,
        rich: {
          name: { fontSize: 13, fontWeight: 'bold', color: PALETTE.ink, lineHeight: 18, align: 'right' },
          note: { fontSize: 11, color: PALETTE.faintInk, lineHeight: 15, align: 'right' },
        },
      },
      axisLine: { show: false },
      axisTick: { show: false },
    },
    series: [
      {
        type: 'custom',
        silent: true,
        data: rows.flatMap((row, at) => row.batches.map((one, index) => [one.yield, at, one.fatG, index])),
        renderItem: (_params, api) => {
          const [x = 0, y = 0] = api.coord([api.value(0), api.value(1)]);
          return {
            type: 'circle',
            shape: {
              cx: x,
              cy: y + spread(Number(api.value(3))) * ROW_HEIGHT * 0.3,
              r: markRadius(Number(api.value(2))),
            },
            style: { fill: PALETTE.batch, opacity: 0.34 },
          };
        },
      },
      {
        type: 'custom',
        silent: true,
        data: rows.flatMap(({ low, high }, at) =>
          low === undefined || high === undefined ? [] : [[low, high, at]],
        ),
        renderItem: (_params, api) => {
          const [left = 0, y = 0] = api.coord([api.value(0), api.value(2)]);
          const [right = 0] = api.coord([api.value(1), api.value(2)]);
          const style = { stroke: PALETTE.mean, lineWidth: 3 };
          return {
            type: 'group',
            children: [
              { type: 'line', shape: { x1: left, y1: y, x2: right, y2: y }, style },
              { type: 'line', shape: { x1: left, y1: y - 7, x2: left, y2: y + 7 }, style },
              { type: 'line', shape: { x1: right, y1: y - 7, x2: right, y2: y + 7 }, style },
            ],
          };
        },
      },
      {
        type: 'scatter',
        silent: true,
        symbolSize: 13,
        itemStyle: { opacity: 1, color: PALETTE.mean, borderColor: PALETTE.paper, borderWidth: 2 },
        label: {
          show: true,
          position: 'top',
          distance: 7,
          formatter: ({ value }) => (Array.isArray(value) ? `${Math.round(Number(value[0]) * 100)} %` : ''),
          ...TEXT,
          fontSize: 12,
          fontWeight: 'bold',
        },
        data: rows.flatMap(({ mean }, at) => (mean === undefined ? [] : [[mean, at]])),
      },
    ],
  };
}

/** Spreads marks of one row up and down without chance: the golden ratio's multiples, from −1 to 1. */
function spread(index: number): number {
  return 2 * ((index * 0.618034) % 1) - 1;
}
