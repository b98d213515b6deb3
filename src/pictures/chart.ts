import type { EChartsOption } from 'echarts';
import { PALETTE } from './palette.js';
import { FONT_FAMILY, pngOf } from './png.js';

export const TEXT = { fontFamily: FONT_FAMILY, color: PALETTE.ink } as const;
export const FAINT_TEXT = { ...TEXT, color: PALETTE.faintInk } as const;

export interface Chart {
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

/** The axis of yields, along or up; fractions shown as per cent. */
export function yieldAxis([from, to]: readonly [number, number], interval: number) {
  return {
    type: 'value',
    min: from,
    max: to,
    interval,
    axisLabel: { ...FAINT_TEXT, fontSize: 12, formatter: (value: number) => `${Math.round(value * 100)} %` },
    axisLine: { show: false },
    axisTick: { show: false },
    splitLine: { lineStyle: { color: PALETTE.rule } },
  } as const;
}
