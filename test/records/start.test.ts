import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { databaseUrl, type SslSettings } from '../../src/database-url.js';
import { type DatabaseLimits, USUAL_LIMITS } from '../../src/records/pool/limits.js';
import { StartRefused } from '../../src/records/start-problems.js';
import { startBot } from '../support/bot.js';
import { runOn } from '../support/databases.js';
import {
  canMakeCertificates,
  type EncryptedPostgres,
  startEncryptedPostgres,
} from '../support/encrypted-postgres.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';
import { openQuietStore } from '../support/quiet-store.js';

const MOST_MS = 10_000;
const PASSWORD = 'hunter2-hunter2';

let folder: string;
let database: FreshDatabase;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-start-'));
  database = await freshDatabase();
});
afterAll(async () => {
  await database.drop();
  await rm(folder, { recursive: true, force: true });
});

const admin = (statement: string): Promise<void> =>
  runOn(inject('postgres'), new URL(database.connectionString).pathname.slice(1), statement);

/** The address of the database, with parts put differently. */
function address(
  parts: Partial<Record<'username' | 'password' | 'pathname' | 'port' | 'hostname', string>> = {},
): string {
  const url = new URL(database.connectionString);
  url.search = '';
  return Object.assign(url, parts).toString();
}

/** A role of its own for one case. */
async function role(name: string, statements: readonly string[] = []): Promise<string> {
  const unique = `${name}_${new URL(database.connectionString).pathname.slice(1)}`;
  await admin(`create role ${unique} login password '${PASSWORD}'`);
  for (const statement of statements) await admin(statement.replaceAll('ROLE', unique));
  return address({ username: unique, password: PASSWORD });
}

async function open(
  url: string,
  ssl: SslSettings = {},
  now: Date | undefined = new Date(),
  limits: DatabaseLimits = USUAL_LIMITS,
) {
  const read = databaseUrl(url, ssl);
  if (!read.ok) throw new Error(read.problem);
  return openQuietStore({ databaseUrl: read.url, now, limits });
}

/** The line that a start is refused with, in time and without a secret. */
async function refused(
  url: string,
  ssl: SslSettings = {},
  now?: Date,
  limits?: DatabaseLimits,
): Promise<string> {
  const began = Date.now();
  const error = await open(url, ssl, now, limits).then(
    async (store) => {
      await store.close();
      return new Error('it started');
    },
    (reason: unknown) => reason,
  );
  if (!(error instanceof StartRefused)) throw error;
  expect(Date.now() - began).toBeLessThan(MOST_MS);
  expect(error.message).toMatch(/^[^\n]+\.$/);
  for (const secret of [PASSWORD, new URL(url).password, new URL(database.connectionString).password])
    if (secret !== '') expect(error.message).not.toContain(secret);
  return error.message;
}

describe('a start on a Postgres of somebody else’s says in one line', () => {
  it('that the password is wrong, also where it is the user that does not exist', async () => {
    const words = /does not accept the user or the password/;
    expect(await refused(address({ password: 'wrong' }))).toMatch(words);
    expect(await refused(address({ username: 'nobody-here' }))).toMatch(words);
  });

  it('that a password is missing', async () => {
    expect(await refused(address({ password: '' }))).toMatch(
      /asks for a password, and DATABASE_URL has none/,
    );
  });

  it('that there is no such database', async () => {
    expect(await refused(address({ pathname: '/no-such-database' }))).toMatch(/has no database of that name/);
  });

  it('that nothing listens there', async () => {
    expect(await refused(address({ port: '1' }))).toMatch(/^No Postgres answers where DATABASE_URL says\. /);
  });

  it('that there is no such host', async () => {
    // RFC 6761: names below .invalid never exist.
    expect(await refused(address({ hostname: 'db.invalid' }))).toMatch(
      /host that DATABASE_URL names cannot be found/,
    );
  });

  it('that the server does not offer encryption', async () => {
    for (const ssl of ['on', 'verify'] as const)
      expect(await refused(address(), { ssl })).toMatch(/does not offer encryption.*DATABASE_SSL=off/);
  });

  it('that the user may not make the tables', async () => {
    await admin('create schema closed');
    const nowhere = await role('nowhere', ['alter role ROLE set search_path = no_such_schema']);
    expect(await refused(nowhere)).toMatch(/no schema to make the tables in/);
    const closed = await role('closed', [
      'grant usage on schema closed to ROLE',
      'alter role ROLE set search_path = closed',
    ]);
    expect(await refused(closed)).toMatch(/does not let this user make the tables/);
  });

  it('nothing where the user has a schema of its own, whatever lies in others', async () => {
    const url = await role('own', [
      'create schema ROLE authorization ROLE',
      'alter role ROLE set search_path = ROLE',
    ]);
    for (const _start of ['first', 'second']) await (await open(url)).close();
  });

  it('that the tables may not be read', async () => {
    expect(await refused(await role('stranger'))).toMatch(/does not let this user/);
  });

  it('that it is read-only', async () => {
    const url = await role('reader', [
      'grant select on all tables in schema public to ROLE',
      'alter role ROLE set default_transaction_read_only = on',
    ]);
    expect(await refused(url)).toMatch(/read-only/);
  });

  it('that statements are ended too soon', async () => {
    const url = await role('hasty', [
      'alter role ROLE set statement_timeout = 1',
      'grant pg_read_all_data to ROLE',
    ]);
    await admin(`alter table kysely_migration rename to kysely_migration_away`);
    await admin(`create view kysely_migration as select name from kysely_migration_away, pg_sleep(1)`);
    try {
      // Else the bot says itself how long a statement may take.
      const untold = { ...USUAL_LIMITS, toldToServer: false };
      expect(await refused(url, {}, undefined, untold)).toMatch(/statement_timeout/);
    } finally {
      await admin('drop view kysely_migration');
      await admin('alter table kysely_migration_away rename to kysely_migration');
    }
  });

  it('that no connection is left', async () => {
    const url = await role('full', ['alter role ROLE connection limit 0']);
    expect(await refused(url)).toMatch(/has no connection left/);
  });

  it('that it keeps text in another encoding', async () => {
    const name = `latin_${new URL(database.connectionString).pathname.slice(1)}`;
    await admin(`create database ${name} encoding 'LATIN1' locale 'C' template template0`);
    try {
      expect(await refused(address({ pathname: `/${name}` }))).toMatch(/LATIN1, and the bot needs UTF8/);
    } finally {
      await admin(`drop database ${name}`);
    }
  });

  it('that a newer version of the bot made the database, and leaves it as it is', async () => {
    await admin(
      `insert into kysely_migration (name, timestamp) values ('9999_future', '2030-01-01T00:00:00.000Z')`,
    );
    await admin('drop table taken_on');
    await admin(`delete from kysely_migration where name like '0004%'`);
    try {
      expect(await refused(address())).toMatch(
        /^This database was made by a newer version of the bot; start that one\./,
      );
      await expect(admin('select 1 from taken_on')).rejects.toThrow('does not exist');
    } finally {
      await database.drop();
      database = await freshDatabase();
    }
  });

  it('that a clock is more than a day off, unless the time is pretended', async () => {
    const dayMs = 86_400_000;
    for (const days of [-365, -1.1, 1.1, 365])
      expect(await refused(address(), {}, new Date(Date.now() + days * dayMs))).toMatch(
        /^This machine’s clock says 20\d\d-\d\d-\d\d \d\d:\d\d UTC and the database’s 20\d\d-/,
      );
    const store = await open(address(), {}, new Date(Date.now() + 0.9 * dayMs));
    await store.close();
  });

  it('as a process, with the exit status 2 and nothing else', { timeout: 60_000 }, async () => {
    const bot = startBot({ env: { DATABASE_URL: address({ password: PASSWORD }) } });
    const { code, said } = await bot.finish();
    expect(code).toBe(2);
    const lines = said
      .trim()
      .split('\n')
      .filter((line) => !line.startsWith('Building'));
    expect(lines).toEqual([expect.stringMatching(/^The Postgres that DATABASE_URL names does not accept/)]);
  });

  it('as a process too when the clock is off, but answers when the time is pretended', {
    timeout: 60_000,
  }, async () => {
    const args = ['--now', '2031-01-01T00:00:00Z', '/water fat:3lb'];
    const { code } = await startBot({ env: { DATABASE_URL: address() }, args }).finish();
    expect(code).toBe(0);
  });
});

describe('where no Postgres is', () => {
  let server: Server;
  const sockets = new Set<Socket>();
  let meet: (socket: Socket) => void = () => {};
  beforeAll(async () => {
    server = createServer((socket) => {
      sockets.add(socket);
      socket.on('error', () => {});
      meet(socket);
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  });
  afterAll(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });

  const there = (): string => {
    const found = server.address();
    return address({ port: String(typeof found === 'object' ? found?.port : 0) });
  };

  it.each([
    ['says nothing', () => {}, /^No Postgres answers .* within some seconds/],
    ['hangs up', (socket: Socket) => socket.end(), /ends the connection at once/],
    ['speaks HTTP', (socket: Socket) => socket.end('HTTP/1.1 400 Bad Request\r\n\r\n'), /host and port/],
  ] as const)(
    'a start says so, and in time, to what %s',
    async (_name, does, words) => {
      meet = does;
      expect(await refused(there())).toMatch(words);
      expect(await refused(there(), { ssl: 'on' })).toMatch(/host and port/);
    },
    25_000,
  );
});

describe.skipIf(!canMakeCertificates())('the way to a Postgres that asks for encryption', () => {
  let server: EncryptedPostgres;
  beforeAll(async () => {
    server = await startEncryptedPostgres(folder);
  });
  afterAll(() => server.stop());

  const at = (host = 'localhost', user = server.user): string =>
    `postgres://${user}:${server.password}@${host}:${server.port}/postgres`;

  it('is told from a wrong password, and which setting is needed', async () => {
    expect(await refused(at())).toMatch(/without encryption. Say DATABASE_SSL=on/);
  });

  it('is open with DATABASE_SSL=on, whoever vouches for the server', async () => {
    await (await open(at(), { ssl: 'on' })).close();
    await (await open(`${at()}?sslmode=require`)).close();
  });

  it('is open with DATABASE_SSL=verify to a server whose authority is trusted and whose name is right', async () => {
    await (await open(at(), { ssl: 'verify', ca: server.authority })).close();
  });

  it('is closed with DATABASE_SSL=verify to any other', async () => {
    expect(await refused(at(), { ssl: 'verify' })).toMatch(/certificate .*DATABASE_SSL_CA/);
    expect(await refused(at('127.0.0.1'), { ca: server.authority })).toMatch(
      /a certificate for another name/,
    );
  });

  it('names the file with certificates when that is missing or holds something else', async () => {
    expect(await refused(at(), { ca: join(folder, 'missing.pem') })).toMatch(
      /DATABASE_SSL_CA names cannot be read \(ENOENT\)/,
    );
    const empty = join(folder, 'empty.pem');
    await writeFile(empty, 'no certificate');
    expect(await refused(at(), { ca: empty })).toMatch(/DATABASE_SSL_CA/);
  });

  it('lets nobody in whom the server does not know', async () => {
    expect(await refused(at('localhost', 'ghost'), { ssl: 'on' })).toMatch(/does not know this user/);
    expect(await refused(at('localhost', 'stranger'), { ssl: 'on' })).toMatch(
      /not let this user in from this machine\. /,
    );
  });
});
