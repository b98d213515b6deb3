import type { Origin } from './call.js';
import { oneLine, visible } from './clean.js';
import type { Request } from './dispatch.js';
import type { Given } from './option.js';

// The one door for text from outside: what is behind it never meets characters that hide, half characters or names that
// an object has by itself.

/** Options or fields by name, on an object without names of its own, so that `constructor` is a name like any other. */
export function cleanGiven(given: Given): Given {
  const clean: Record<string, string> = Object.create(null);
  for (const [name, text] of Object.entries(given)) clean[oneLine(name)] = visible(text);
  return clean;
}

export function cleanRequest(request: Request): Request {
  return request.kind === 'command'
    ? { kind: 'command', path: request.path.map(oneLine), given: cleanGiven(request.given) }
    : { kind: 'press', id: visible(request.id), fields: cleanGiven(request.fields) };
}

/** Ids are cleaned too: in the terminal they are names that somebody typed. */
export function cleanOrigin(origin: Origin): Origin {
  const { member, community, channel, interaction } = origin;
  const id = visible(member.id);
  return {
    ...origin,
    member: { ...member, id, name: oneLine(member.name) || id },
    community: visible(community),
    channel: channel === undefined ? undefined : visible(channel),
    interaction: visible(interaction),
  };
}
