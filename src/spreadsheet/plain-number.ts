import { oneLine } from '../chat/clean.js';
import { shorten } from '../chat/option.js';

/**
 * A plain number, or what is wrong with it.
 * @param delimiter what parts the cells; where that is not a comma, a comma may be the decimal sign
 */
export function readNumber(cell: string, delimiter: string): number | string {
  const text = oneLine(cell);
  if (text === '') return 'is empty';
  // People who write decimals with a comma part thousands with a full stop.
  if (delimiter !== ',' && /^[+-]?[1-9]\d{0,2}(,\d{3}|(\.\d{3})+)$/.test(text))
    return `is “${shorten(text)}”, which may be thousands or decimals; write it without a thousands separator, or with other than three decimals`;
  if (/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(text)) {
    const value = Number(text);
    return Number.isFinite(value) ? value : `is “${shorten(text)}”, which is too large`;
  }
  // Three digits behind a comma may be thousands, but not where only a nought is before it.
  if (delimiter !== ',' && /^[+-]?(\d+,(\d{1,2}|\d{4,})|0+,\d{3})$/.test(text))
    return Number(text.replace(',', '.'));
  if (/^[+-]?[1-9]\d{0,2}([.,'’ ]\d{3})+([.,]\d+)?$/.test(text))
    return `is “${shorten(text)}”; write it without a thousands separator`;
  if (/^[+-]?[\d.,]+\s*\p{L}+/u.test(text))
    return `is “${shorten(text)}”; give a plain number, weights in grams and times in minutes`;
  return `is “${shorten(text)}”, which is not a plain number`;
}
