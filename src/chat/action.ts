import { z } from 'zod';
import type { Action } from './reply.js';

const VERSION = 'v1';
/** Discord, Component Reference, "custom_id": at most 100 characters. */
const MAX_LENGTH = 100;

/**
 * The id of a button or form: version, what it does, and the arguments it needs, so that it still works after a restart.
 * Throws RangeError when a part holds a separator or the whole does not fit.
 */
export function actionId(name: string, ...args: readonly (string | number)[]): string {
  const parts = [VERSION, name, ...args.map(String)];
  if (parts.some((part) => part.includes('|')))
    throw new RangeError(`an action's parts cannot hold “|”: ${name}`);
  const id = parts.join('|');
  if (id.length > MAX_LENGTH)
    throw new RangeError(`the action ${name} is longer than ${MAX_LENGTH} characters`);
  return id;
}

interface PressedAction {
  readonly name: string;
  readonly args: readonly string[];
}

/** The parts of an id, or undefined when it is not one of ours. */
export function readActionId(id: string): PressedAction | undefined {
  if (id.length > MAX_LENGTH) return undefined;
  const [version, name, ...args] = id.split('|');
  return version === VERSION && name !== undefined && name !== '' ? { name, args } : undefined;
}

/** A button. */
export function button(label: string, id: string, weight: Action['weight'] = 'plain'): Action {
  return { id, label, weight };
}

// How handlers read what stands behind an action's name. A person can make such an id up, so nothing in it is trusted.

export const noArguments = z.tuple([]);

/** A whole number as `actionId` writes it. */
export const wholeNumberIn = (least: number, most: number) =>
  z
    .string()
    .regex(/^(?:0|[1-9]\d{0,14})$/)
    .transform(Number)
    .pipe(z.number().min(least).max(most));

/** A number as `actionId` writes it. */
export const numberIn = (least: number, most: number) =>
  z
    .string()
    .regex(/^\d[\d.e-]*$/)
    .transform(Number)
    .pipe(z.number().min(least).max(most));

/** The key of something that is kept elsewhere. */
export const key = z.string().min(1);
