import { createRequire } from 'node:module';
import { availableParallelism } from 'node:os';
import pLimit from 'p-limit';

const require = createRequire(import.meta.url);

/** Brought along, so that a picture looks the same on every machine. */
const FONTS = ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf'].map((file) =>
  require.resolve(`dejavu-fonts-ttf/ttf/${file}`),
);

export const FONT_FAMILY = 'DejaVu Sans';

/** Twice the drawn size: sharp on a phone. */
const ZOOM = 2;

/** Each holds some ten megabytes while it is drawn, and one core is left for those who wait for an answer. */
const drawing = pLimit(Math.max(1, availableParallelism() - 1));

/**
 * A drawing as a PNG of twice its size. The renderer is loaded when the first picture is asked for, and draws beside the
 * thread that asks.
 */
export async function pngOf(svg: string): Promise<Uint8Array> {
  const { renderAsync } = await import('@resvg/resvg-js');
  return drawing(async () => {
    const image = await renderAsync(svg, {
      fitTo: { mode: 'zoom', value: ZOOM },
      font: { fontFiles: FONTS, loadSystemFonts: false, defaultFontFamily: FONT_FAMILY },
    });
    return new Uint8Array(image.asPng());
  });
}
