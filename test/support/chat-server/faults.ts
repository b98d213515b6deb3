import { type IncomingMessage, ServerResponse } from 'node:http';

/** What a request is for, as far as it can be made to fail. */
export type RequestKind =
  | 'callback'
  /** A callback that only says that the answer will come. */
  | 'waiting notice'
  | 'edit of an answer'
  | 'deletion of an answer'
  | 'further message'
  | 'message'
  | 'list of messages'
  | 'direct channel'
  | 'commands'
  | 'me';

/** What happens to a request: the connection breaks, or an error is the answer. */
export type Fault =
  | 'drop-before'
  | 'drop-during'
  | 'drop-after'
  /** Never answered. */
  | 'hang'
  | ErrorAnswer;

export interface ErrorAnswer {
  readonly status: number;
  /** What was asked is done all the same. */
  readonly isDone?: boolean;
  /** From what stands in front of Discord, in words for a browser. */
  readonly isHtml?: boolean;
  /** JSON error code (Opcodes and Status Codes › JSON). */
  readonly code?: number;
  /** Seconds. */
  readonly retryAfter?: number;
  /** Rate Limits › Header Format: whose limit was met. */
  readonly scope?: 'user' | 'global' | 'shared';
}

/** Faults that wait for the next requests of their kind. */
export interface Faults {
  next(kind: RequestKind, ...faults: readonly Fault[]): void;
  take(kind: RequestKind): Fault | undefined;
  forget(): void;
}

export function faultQueue(): Faults {
  const waiting = new Map<RequestKind, Fault[]>();
  return {
    next(kind, ...faults) {
      waiting.set(kind, [...(waiting.get(kind) ?? []), ...faults]);
    },
    take: (kind) => waiting.get(kind)?.shift(),
    forget: () => waiting.clear(),
  };
}

/** Lets the fault happen; `perform` does what was asked and gives its answer to the response it is handed. */
export function meet(
  fault: Fault,
  request: IncomingMessage,
  response: ServerResponse,
  perform: (response: ServerResponse) => void,
): void {
  if (fault === 'hang') return;
  if (fault === 'drop-before') return void request.socket.destroy();
  const isDone = typeof fault === 'string' || fault.isDone === true;
  // What it answers goes nowhere.
  if (isDone) perform(new ServerResponse(request));
  if (typeof fault === 'object') return answerWith(fault, response);
  if (fault === 'drop-after') return void request.socket.destroy();
  response.writeHead(200, { 'content-type': 'application/json', 'content-length': '5000' });
  response.write('{"id": "');
  setTimeout(() => request.socket.destroy(), 10);
}

export function answerWith(
  { status, isHtml = false, code = 0, retryAfter, scope = 'user' }: ErrorAnswer,
  response: ServerResponse,
): void {
  if (isHtml) {
    response.writeHead(status, { 'content-type': 'text/html' }).end('<h1>Not now</h1>');
    return;
  }
  const limit =
    status === 429
      ? {
          'retry-after': String(retryAfter ?? 1),
          'x-ratelimit-scope': scope,
          ...(scope === 'global' ? { 'x-ratelimit-global': 'true' } : {}),
        }
      : {};
  response.writeHead(status, { 'content-type': 'application/json', ...limit }).end(
    JSON.stringify({
      message: 'a fault',
      code,
      ...(status === 429 || retryAfter !== undefined
        ? { retry_after: retryAfter ?? 1, global: scope === 'global' }
        : {}),
    }),
  );
}
