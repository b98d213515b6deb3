import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);

/** Brought along, so that a picture looks the same on every machine. */
const FONTS = ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf'].map((file) =>
  require.resolve(`dejavu-fonts-ttf/ttf/${file}`),
);

export const FONT_FAMILY = 'DejaVu Sans';

/** Twice the drawn size: sharp on a phone. */
const ZOOM = 2;

/**
 * A drawing as a PNG of twice its size. The renderer is loaded when the first picture is asked for. It draws at once, and so
 * never two at a time: each holds some ten megabytes while it is drawn.
 */
export async function pngOf(svg: string): Promise<Uint8Array> {
  const { Resvg } = await import('@resvg/resvg-js');
  const drawing = new Resvg(svg, {
    fitTo: { mode: 'zoom', value: ZOOM },
    font: { fontFiles: FONTS, loadSystemFonts: false, defaultFontFamily: FONT_FAMILY },
  });
  return new Uint8Array(drawing.render().asPng());
}
