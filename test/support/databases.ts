import pg from 'pg';

/** Migrated and empty; nobody may be connected to it while it is cloned. */
export const TEMPLATE = 'migrated';

export function databaseUrl(server: string, database: string): string {
  const url = new URL(server);
  url.pathname = `/${database}`;
  return url.toString();
}

export async function runOn(server: string, database: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: databaseUrl(server, database) });
  await client.connect();
  try {
    await client.query(statement);
  } finally {
    await client.end();
  }
}
