import { type Client, RESTEvents, Status } from 'discord.js';
import { UNAUTHORISED } from './faults.js';

/** How the bot stands with Discord. */
export interface Connection {
  /** Whether Discord sends it what people ask. */
  isReady(): boolean;
  /** Whether the last request that bore its token was not turned away for it. */
  isTokenAccepted(): boolean;
}

export function connectionOf(client: Client): Connection {
  let isTokenAccepted = true;
  client.rest.on(RESTEvents.Response, ({ data }, { status }) => {
    if (data.auth !== false) isTokenAccepted = status !== UNAUTHORISED;
  });
  return {
    isReady: () => client.isReady() && client.ws.shards.every((shard) => shard.status === Status.Ready),
    isTokenAccepted: () => isTokenAccepted,
  };
}
