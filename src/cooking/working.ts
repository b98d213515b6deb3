/** How an answer came about, so that a person can follow it and check it by hand. */

import { type Assumption, citation, type SourceId } from '../safety/sources.js';

/** Whose figure an input is. */
export type Origin = 'you said' | 'your kit' | 'your settings' | 'assumed' | 'this community';

/** A figure that went in. Values are in the unit beside them. */
export interface WorkingInput {
  readonly name: string;
  readonly value: number | string;
  readonly unit: string;
  readonly origin: Origin;
}

/** A published or computed figure that went in. */
export interface WorkingConstant {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly source: SourceId;
}

/** One thing worked out on the way, in the unit beside it; `unit` is empty for a plain number. */
export interface WorkingStep {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
}

/** What a calculation can say of itself. The inputs are added by whoever knows where they came from. */
export interface Calculation {
  /** The formula in words. */
  readonly formula: string;
  readonly constants: readonly WorkingConstant[];
  readonly assumptions: readonly Assumption[];
  readonly steps: readonly WorkingStep[];
}

export interface Working extends Calculation {
  readonly title: string;
  readonly inputs: readonly WorkingInput[];
}

/**
 * A working ready to show.
 * Throws RangeError when a figure is not a finite number.
 */
export function workingOf(title: string, inputs: readonly WorkingInput[], calculation: Calculation): Working {
  for (const { name, value } of [...inputs, ...calculation.constants, ...calculation.steps])
    if (typeof value === 'number' && !Number.isFinite(value))
      throw new RangeError(`${title}: ${name} is ${value}, not a finite number`);
  const { formula, constants, assumptions, steps } = calculation;
  return { title, inputs, formula, constants, assumptions, steps };
}

/** The working in plain lines: formula, inputs, constants, assumptions, steps. Empty parts are left out. */
export function workingLines(working: Working): readonly string[] {
  return [
    working.formula,
    ...working.inputs.map((input) => `${figureLine(input)} (${input.origin})`),
    ...working.constants.map((constant) => `${figureLine(constant)} (${citation(constant.source)})`),
    ...working.assumptions.map(assumptionLine),
    ...working.steps.map(figureLine),
  ];
}

/** Every source a working rests on, each once. */
export function sourcesOfWorking(working: Calculation): readonly SourceId[] {
  return [
    ...new Set([
      ...working.constants.map((constant) => constant.source),
      ...working.assumptions.flatMap((assumption) => assumption.sources),
    ]),
  ];
}

function assumptionLine({ text, sources }: Assumption): string {
  return sources.length === 0 ? `Assumed: ${text}` : `Assumed: ${text} (${sources.map(citation).join('; ')})`;
}

function figureLine({
  name,
  value,
  unit,
}: {
  readonly name: string;
  readonly value: number | string;
  readonly unit: string;
}): string {
  return `${name}: ${typeof value === 'number' ? shortNumber(value) : value}${unit === '' ? '' : ` ${unit}`}`;
}

/** Four significant digits, whole numbers kept whole, never in powers of ten. */
function shortNumber(value: number): string {
  if (Number.isInteger(value) || Math.abs(value) >= 1000) return String(Math.round(value));
  return String(Number(value.toPrecision(4)));
}
