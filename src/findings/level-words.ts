import { cutLabel, isCut, isMethod, methodLabel } from '../words/methods.js';

/** A method or a cut inside a sentence: "pressure cooker", "ground". */
export function levelWords(level: string): string {
  if (isMethod(level)) return (methodLabel(level).split(',')[0] ?? level).toLowerCase();
  return isCut(level) ? cutLabel(level).toLowerCase() : level;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
