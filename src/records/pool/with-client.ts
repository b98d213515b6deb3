import pg from 'pg';

/**
 * Does something on a connection of its own. Its end is not waited for: a server that hangs does not answer to that
 * either.
 */
export async function withClient<T>(
  config: pg.ClientConfig,
  work: (client: pg.Client) => Promise<T>,
): Promise<T> {
  const client = new pg.Client(config);
  // Unheard, the loss of the connection would end the process; whoever uses it hears of it.
  client.on('error', () => {});
  try {
    await client.connect();
    return await work(client);
  } finally {
    void client.end().catch(() => {});
  }
}
