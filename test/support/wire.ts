import { once } from 'node:events';
import { connect, createServer, type Socket } from 'node:net';

/** When a connection is cut: the server never hears of the statement, or it has done it and nobody hears of that. */
export type CutWhen = 'before' | 'after';

export interface Cut {
  readonly at: number;
  readonly when: CutWhen;
  readonly forGood?: boolean;
}

export interface Wire {
  /** The address of the database, by way of the wire. */
  readonly connectionString: string;
  /** What was asked of the server since the last `listen`, in order. */
  readonly statements: readonly string[];
  /**
   * Listens afresh, and cuts the one connection over which the statement number `cut.at` comes, counted from 0; `forGood`
   * cuts all of them then and refuses new ones until `mend`.
   */
  listen(cut?: Cut): void;
  /** Leads new connections to another server. */
  lead(connectionString: string): void;
  /** Cuts every connection and refuses new ones until `mend`. */
  down(): Promise<void>;
  /** Lets nothing through, either way, until `mend`; new connections are taken and hear nothing. */
  freeze(): void;
  mend(): Promise<void>;
  close(): Promise<void>;
}

const HOST = '127.0.0.1';

/** A way to a Postgres that can be cut at any statement. It reads the messages of the protocol, and knows no TLS. */
export async function wireTo(connectionString: string): Promise<Wire> {
  let server = new URL(connectionString);
  const pairs = new Set<{ readonly near: Socket; readonly far: Socket }>();
  let statements: string[] = [];
  let cut: Cut | undefined;
  let isFrozen = false;

  const entry = createServer({ pauseOnConnect: true }, (near) => {
    const far = connect(Number(server.port), server.hostname);
    const pair = { near, far };
    pairs.add(pair);
    let isCut = false;
    const end = () => {
      if (!pairs.delete(pair)) return;
      if (isCut && cut?.forGood) void down();
      near.destroy();
      far.destroy();
    };
    for (const socket of [near, far]) socket.setNoDelay().on('error', end).on('close', end);

    const forward = messagesOf('frontend', (type, message) => {
      if (type === 'Q' || type === 'P') {
        const number = statements.push(textOf(type, message)) - 1;
        if (number === cut?.at) {
          isCut = true;
          if (cut.when === 'before') return end();
        }
      }
      if (!far.destroyed) far.write(message);
    });
    const back = messagesOf('backend', (type, message) => {
      if (!isCut) near.write(message);
      else if (type === 'Z') end();
    });
    near.on('data', forward);
    far.on('data', back);
    if (isFrozen) far.pause();
    else near.resume();
  });

  const open = async (port: number): Promise<void> => {
    entry.listen(port, HOST);
    await once(entry, 'listening');
  };
  await open(0);
  const address = entry.address();
  if (address === null || typeof address === 'string') throw new Error('the wire has no port');
  const { port } = address;
  const nearEnd = new URL(server);
  nearEnd.hostname = HOST;
  nearEnd.port = String(port);

  async function down(): Promise<void> {
    if (!entry.listening) return;
    const closed = new Promise((resolve) => entry.close(resolve));
    for (const { near, far } of pairs) {
      near.destroy();
      far.destroy();
    }
    await closed;
  }

  return {
    connectionString: nearEnd.toString(),
    get statements() {
      return statements;
    },
    listen(where) {
      statements = [];
      cut = where;
    },
    lead(elsewhere) {
      server = new URL(elsewhere);
    },
    down,
    freeze() {
      isFrozen = true;
      for (const { near, far } of pairs) {
        near.pause();
        far.pause();
      }
    },
    async mend() {
      isFrozen = false;
      for (const { near, far } of pairs) {
        near.resume();
        far.resume();
      }
      if (!entry.listening) await open(port);
    },
    close: down,
  };
}

/**
 * Takes a stream apart into messages: a type, a length of four bytes that counts itself, a body. PostgreSQL 17, 53.7
 * “Message Formats”; the first one of the frontend has no type.
 */
function messagesOf(
  side: 'frontend' | 'backend',
  hear: (type: string, message: Buffer) => void,
): (chunk: Buffer) => void {
  let rest = Buffer.alloc(0);
  let typeBytes = side === 'frontend' ? 0 : 1;
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    while (rest.length >= typeBytes + 4) {
      const length = typeBytes + rest.readInt32BE(typeBytes);
      if (rest.length < length) return;
      const message = rest.subarray(0, length);
      const type = typeBytes === 0 ? '' : String.fromCharCode(message[0] ?? 0);
      rest = rest.subarray(length);
      typeBytes = 1;
      hear(type, message);
    }
  };
}

/** Query: the text. Parse: a name, then the text. Each ends with a zero. */
function textOf(type: 'Q' | 'P', message: Buffer): string {
  const start = type === 'Q' ? 5 : message.indexOf(0, 5) + 1;
  return message.toString('utf8', start, message.indexOf(0, start));
}
