import type { ValuesOf } from '../../src/chat/option.js';
import type { Batch, BatchFacts } from '../../src/records/batches.js';
import type { Cut, Method } from '../../src/words/methods.js';
import type { Clearable } from './clearing.js';
import type { HANDED_IN } from './correction-form.js';

/** What was said of a batch that is corrected. */
interface Said extends ValuesOf<typeof HANDED_IN> {
  readonly method?: Method | undefined;
  readonly cut?: Cut | undefined;
  readonly water?: number | undefined;
  readonly 'water-left'?: number | undefined;
  readonly 'weighed-as'?: BatchFacts['weighedAs'];
  readonly finishedAt?: Date | undefined;
}

/** The facts with what was said put in and what was `cleared` taken out; what was not mentioned stays. */
export function correctedFacts(found: Batch, said: Said, cleared: readonly Clearable[]): BatchFacts {
  const unlessCleared = <T>(name: Clearable, fact: T | undefined): T | undefined =>
    cleared.includes(name) ? undefined : fact;
  return {
    method: said.method ?? found.method,
    cut: said.cut ?? found.cut,
    fatG: said.fat ?? found.fatG,
    tallowG: said.tallow ?? found.tallowG,
    waterMl: unlessCleared('water', said.water ?? found.waterMl),
    waterLeftMl: unlessCleared('water-left', said['water-left'] ?? found.waterLeftMl),
    minutes: unlessCleared('minutes', said.minutes ?? found.minutes),
    weighedAs: unlessCleared('weighed-as', said['weighed-as'] ?? found.weighedAs),
    taste: unlessCleared('taste', said.taste ?? found.taste) ?? [],
    note: unlessCleared('note', said.note ?? found.note),
    finishedAt: said.finishedAt ?? found.finishedAt,
  };
}
