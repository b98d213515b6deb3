import { LRUCache } from 'lru-cache';
import type { Form } from '../chat/command.js';

/** An interaction lasts 15 minutes; nobody waits longer to fill a form in. */
const KEPT_MS = 15 * 60_000;
const MOST_KEPT = 500;

/** Who waits, and where: the same form of another community is filled in with other records. */
interface Asker {
  readonly community: string;
  readonly memberId: string;
}

/**
 * Forms that came too late to be a dialog, until the one who asked hands them in. Pressing their button shows them at
 * once, filled in as they were; after a restart the button asks the form's own action instead.
 */
export function waitingForms(clock: () => Date) {
  const kept = new LRUCache<string, Form>({
    max: MOST_KEPT,
    ttl: KEPT_MS,
    ttlResolution: 0,
    perf: { now: () => clock().getTime() },
  });
  const keyOf = ({ community, memberId }: Asker, id: string) => `${community} ${memberId} ${id}`;
  return {
    keep: (asker: Asker, form: Form): void => void kept.set(keyOf(asker, form.id), form),
    of: (asker: Asker, id: string): Form | undefined => kept.get(keyOf(asker, id)),
    forget: (asker: Asker, id: string): void => void kept.delete(keyOf(asker, id)),
  };
}
