import type { Reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import type { Delivery, DeliveryKind } from '../records/deliveries.js';

/** What goes out. */
export interface Composed {
  readonly reply: Reply;
  /** The caution it carries, so that the next one chooses another. */
  readonly caution: string | undefined;
  /** Whether it is not to be sent after all: what it tells is told in the next. */
  readonly skip: boolean;
}

/** One kind of message that is sent without being asked. */
export interface Content {
  /** Writes down what of a bot's has come due. */
  plan(db: Records, application: string, now: Date): Promise<void>;
  compose(delivery: Delivery, now: Date): Promise<Composed>;
  /** It is not sent any more once it is later than this. */
  readonly latestMs: number;
  /** What managers are told when it could not be sent; each place with why it is closed. */
  closedNews(places: readonly string[]): Reply;
}

export type Contents = Readonly<Partial<Record<DeliveryKind, Content>>>;

export function contentOf(contents: Contents, kind: DeliveryKind): Content {
  const content = contents[kind];
  if (content === undefined) throw new RangeError(`nobody writes messages of the kind ${kind}`);
  return content;
}
