import type { Form } from '../chat/command.js';

/** An interaction lasts 15 minutes; nobody waits longer to fill a form in. */
const KEPT_MS = 15 * 60_000;
const MOST_KEPT = 500;

/**
 * Forms that came too late to be a dialog, until the one who asked hands them in. Pressing their button shows them at
 * once, filled in as they were; after a restart the button asks the form's own action instead.
 */
export interface WaitingForms {
  keep(asker: Asker, form: Form): void;
  of(asker: Asker, id: string): Form | undefined;
  forget(asker: Asker, id: string): void;
}

/** Who waits, and where: the same form of another community is filled in with other records. */
export interface Asker {
  readonly community: string;
  readonly memberId: string;
}

export function waitingForms(clock: () => Date): WaitingForms {
  const kept = new Map<string, { readonly form: Form; readonly until: number }>();
  const keyOf = ({ community, memberId }: Asker, id: string) => `${community} ${memberId} ${id}`;
  return {
    keep(asker, form) {
      const now = clock().getTime();
      // Oldest first: a map keeps the order in which things came.
      for (const [key, { until }] of kept) if (until <= now || kept.size >= MOST_KEPT) kept.delete(key);
      kept.set(keyOf(asker, form.id), { form, until: now + KEPT_MS });
    },
    of(asker, id) {
      const found = kept.get(keyOf(asker, id));
      return found && found.until > clock().getTime() ? found.form : undefined;
    },
    forget(asker, id) {
      kept.delete(keyOf(asker, id));
    },
  };
}
