import type { EChartsOption } from 'echarts';
import { FONT_FAMILY, pngOf } from './png.js';

/** Set tallow on brown paper: opaque, so that it reads the same in dark and in light surroundings. */
export const PALETTE = {
  paper: '#f6efdf',
  ink: '#2f261d',
  faintInk: '#7c6c58',
  rule: '#dccfb4',
  /** Single batches, behind everything. */
  batch: '#b98b4e',
  /** A mean and its interval. */
  mean: '#5b2a16',
  /** Somebody's own. */
  own: '#2c6470',
} as const;

export const TEXT = { fontFamily: FONT_FAMILY, color: PALETTE.ink } as const;
export const FAINT_TEXT = { ...TEXT, color: PALETTE.faintInk } as const;

export const WIDTH = 656;
/** Above the drawing, for the title. */
export const HEAD = 62;

interface Chart {
  readonly width: number;
  readonly height: number;
  /** Above the chart. */
  readonly title: string;
  /** Under it: what the marks mean. */
  readonly caption: string;
  /** Axes and series. */
  readonly options: EChartsOption;
}

/** A chart on the bot's paper, with its title and caption, as a PNG at twice its size. */
export async function chartPng({ width, height, title, caption, options }: Chart): Promise<Uint8Array> {
  const { init } = await import('echarts');
  const chart = init(null, null, { renderer: 'svg', ssr: true, width, height });
  try {
    chart.setOption({
      animation: false,
      backgroundColor: PALETTE.paper,
      textStyle: TEXT,
      title: [
        { text: title, left: 18, top: 14, textStyle: { ...TEXT, fontSize: 17, fontWeight: 'bold' } },
        {
          text: caption,
          left: 18,
          bottom: 10,
          textStyle: { ...FAINT_TEXT, fontSize: 11, fontWeight: 'normal' },
        },
      ],
      ...options,
    });
    return await pngOf(chart.renderToSVGString());
  } finally {
    chart.dispose();
  }
}

/** The axis of yields, along or up; fractions shown as per cent, a line each five points, or each ten where it is long. */
export function yieldAxis([from, to]: readonly [number, number]) {
  return {
    type: 'value',
    min: from,
    max: to,
    interval: gridStep(from, to),
    axisLabel: { ...FAINT_TEXT, fontSize: 12, formatter: (value: number) => `${Math.round(value * 100)} %` },
    axisLine: { show: false },
    axisTick: { show: false },
    splitLine: { lineStyle: { color: PALETTE.rule } },
  } as const;
}

/** Radius in pixels of the mark of a kilogram of fat; the area goes with the weight. */
const PX_PER_ROOT_KG = 4.2;
const SMALLEST_PX = 2.5;
const LARGEST_PX = 12;

/** Radius of a batch's mark in pixels. */
export function markRadius(fatG: number): number {
  return Math.min(LARGEST_PX, Math.max(SMALLEST_PX, PX_PER_ROOT_KG * Math.sqrt(fatG / 1000)));
}

const gridStep = (from: number, to: number): number => (to - from > 0.5 ? 0.1 : 0.05);

/** A range around all yields shown, from line to line of the grid, within 0 and 1, at least 20 points wide. */
export function yieldAxisRange(values: readonly number[]): readonly [number, number] {
  const least = Math.max(0, Math.min(...values, 1) - 0.02);
  const most = Math.min(1, Math.max(...values, 0) + 0.02);
  if (least >= most) return [0, 1];
  const lines = Math.round(1 / gridStep(least, most));
  const [low, high] = [Math.floor(least * lines) / lines, Math.ceil(most * lines) / lines];
  return high - low >= 0.2 ? [low, high] : [Math.max(0, high - 0.2), Math.max(high, 0.2)];
}
