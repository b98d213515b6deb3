import type { Call } from '../chat/call.js';
import { subcommand } from '../chat/command.js';
import type { Options, ValuesOf } from '../chat/option.js';
import type { Refusal } from '../chat/reply.js';
import type { Origin, WorkingInput } from '../cooking/working.js';
import type { Records } from '../records/database.js';
import type { Season } from '../safety/occasion.js';
import { seasonHere } from './situation.js';
import { type Answer, withWorking, workingHandlers } from './working.js';

/** What was asked, as values by the names of the options. */
export interface Asked<V> {
  readonly values: V;
  /** The options whose values come from the cook's kit, as nothing was said. */
  readonly kit: readonly string[];
}

export function originOf<V>({ values, kit }: Asked<V>, option: keyof V & string): Origin {
  if (values[option] === undefined) return 'assumed';
  return kit.includes(option) ? 'kit' : 'said';
}

/** Makes inputs of a working: a name, the option that it comes from, and its value in words. */
export const inputFrom =
  <V>(asked: Asked<V>) =>
  (name: string, option: keyof V & string, value: string): WorkingInput => ({
    name,
    value,
    origin: originOf(asked, option),
  });

export interface CalculationSpec<O extends Options> {
  readonly description: string;
  readonly options: O;
  /** The season is undefined while the database is away. */
  answer(asked: Asked<ValuesOf<O>>, season: Season | undefined): Answer | Refusal;
}

/** A subcommand that works out its answer from what was typed alone, and shows the working. */
export function calculation<const O extends Options>(
  db: Records,
  name: string,
  { description, options, answer }: CalculationSpec<O>,
) {
  return {
    subcommand: subcommand({
      description,
      options,
      run: async (values, call: Call) => {
        const season = await seasonHere(db, call);
        return withWorking(db, name, answer({ values, kit: [] }, season), call);
      },
    }),
    handlers: workingHandlers(db, name),
  };
}
