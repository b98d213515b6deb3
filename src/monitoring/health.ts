/** What is looked at to tell whether the bot is well; what does not exist where it talks is left out. */
export interface Vitals {
  /** Connected to Discord and heard by it. */
  readonly isReady?: () => boolean;
  /** Whether Discord still takes the bot's token. */
  readonly isTokenAccepted?: () => boolean;
  /** When the scheduler was last seen at work. */
  readonly lastTick: () => Date;
  /** Asked of the database, so that its answer shows that there is one. */
  readonly deliveriesDue: () => Promise<DeliveriesDue>;
}

/** Messages that are to be sent and have not been. */
export interface DeliveriesDue {
  readonly due: number;
  /** Of these, due for longer than it takes when all is well. */
  readonly late: number;
  readonly oldestDueAt: Date | undefined;
}

/** Null: not to be told, or nothing of the kind here. Moments are in ISO 8601. */
export interface Health {
  readonly status: 'ok' | 'failing';
  readonly failing: readonly ('gateway' | 'token' | 'database' | 'scheduler')[];
  readonly gatewayReady: boolean | null;
  readonly tokenAccepted: boolean | null;
  readonly databaseAnswers: boolean;
  readonly lastTick: string;
  readonly oldestDue: string | null;
}

/** The scheduler looks every minute; one post of a large community may keep it for a while. */
const LONGEST_PAUSE_MS = 5 * 60_000;
/** A database that takes longer is of no use to anybody who waits. */
const LONGEST_ANSWER_MS = 2000;

/** How the bot is. Never rejects, and takes two seconds at most. */
export async function healthOf(vitals: Vitals, now: Date): Promise<Health> {
  const gatewayReady = vitals.isReady?.() ?? null;
  const tokenAccepted = vitals.isTokenAccepted?.() ?? null;
  const deliveries = await inTime(vitals.deliveriesDue());
  const lastTick = vitals.lastTick();
  const failing = [
    ...(gatewayReady === false ? (['gateway'] as const) : []),
    ...(tokenAccepted === false ? (['token'] as const) : []),
    ...(deliveries === undefined ? (['database'] as const) : []),
    ...(now.getTime() - lastTick.getTime() > LONGEST_PAUSE_MS ? (['scheduler'] as const) : []),
  ];
  return {
    status: failing.length === 0 ? 'ok' : 'failing',
    failing,
    gatewayReady,
    tokenAccepted,
    databaseAnswers: deliveries !== undefined,
    lastTick: lastTick.toISOString(),
    oldestDue: deliveries?.oldestDueAt?.toISOString() ?? null,
  };
}

/** Undefined where it failed or took too long. */
export async function inTime<T>(asked: Promise<T>): Promise<T | undefined> {
  let timer: NodeJS.Timeout | undefined;
  const tooLong = new Promise<undefined>((resolve) => {
    timer = setTimeout(() => resolve(undefined), LONGEST_ANSWER_MS);
  });
  try {
    return await Promise.race([asked, tooLong]);
  } catch {
    return undefined;
  } finally {
    clearTimeout(timer);
  }
}
