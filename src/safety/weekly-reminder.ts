import type { Method } from '../words/methods.js';
import { DAY_MS } from '../words/moments.js';
import { CAUTIONS, type Caution } from './cautions.js';
import { BATCH_STEPS, type Occasion, type Season } from './occasion.js';
import type { SafetyTopic } from './topics.js';

/** A reminder shown less long ago than this gives way to others. */
export const REMINDER_REST_MS = 42 * DAY_MS;

export interface ReminderRequest {
  /** Raw fat rendered in the week, in grams; may be empty. */
  readonly fatGByMethod: ReadonlyMap<Method, number>;
  readonly season: Season;
  readonly recentlyShown: readonly { readonly id: string; readonly shownAt: Date }[];
  /** What near misses of the week were about; a caution about one of these need not rest. */
  readonly reported?: readonly SafetyTopic[];
  readonly now: Date;
}

/**
 * The caution for the weekly post: of those that fit what was cooked and the season, the gravest not shown within
 * six weeks; when all were, the one shown longest ago. After a near miss it is the gravest about that, rested or not.
 */
export function reminderFor(request: ReminderRequest): Caution {
  const { fatGByMethod, season, recentlyShown, reported = [], now } = request;
  const related = reported.flatMap((topic) => CAUTIONS.find(({ topics }) => topics[0] === topic) ?? []);
  const gravest = CAUTIONS.find((caution) => related.includes(caution));
  if (gravest) return gravest;
  const fitting = CAUTIONS.filter(({ occasions }) =>
    occasions.some((occasion) => isOfTheWeek(occasion, fatGByMethod, season)),
  );
  const lastShownMs = (id: string) =>
    Math.max(
      Number.NEGATIVE_INFINITY,
      ...recentlyShown.filter((shown) => shown.id === id).map(({ shownAt }) => shownAt.getTime()),
    );
  const rested = fitting.find(({ id }) => now.getTime() - lastShownMs(id) >= REMINDER_REST_MS);
  return (
    rested ??
    fitting.reduce((oldest, next) => (lastShownMs(next.id) < lastShownMs(oldest.id) ? next : oldest))
  );
}

function isOfTheWeek(
  { methods, activities, seasons, burners, circumstance }: Occasion,
  fatGByMethod: ReminderRequest['fatGByMethod'],
  season: Season,
): boolean {
  // Which burner they have is not known of a week.
  if ((burners !== undefined && methods === undefined) || circumstance === 'smoked') return false;
  const wasCooked = methods === undefined || methods.some((method) => (fatGByMethod.get(method) ?? 0) > 0);
  // Blends, smoking and the like are not taken for granted.
  const belongsToABatch = BATCH_STEPS.some((step) => activities.includes(step));
  return wasCooked && belongsToABatch && (seasons === undefined || seasons.includes(season));
}
