import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Check } from './conformance.js';
import { FIRST_ANSWER_MS, type Interaction } from './interactions.js';
import { commandProblems, messageProblems, modalProblems } from './refusals.js';
import { channelJson, type Json, messageJson, type StoredFile, userJson, type World } from './world.js';

/** What happens to the next request that creates a message. */
export type MessageFault =
  | 'drop-before'
  | 'drop-during'
  | 'drop-after'
  | { readonly status: number; readonly retryAfter?: number };

export interface RestState {
  readonly world: World;
  readonly token: string;
  readonly interactions: Map<string, Interaction>;
  readonly violations: string[];
  readonly check: Check;
  readonly messageFaults: MessageFault[];
  gatewayUrl(): string;
}

interface Body {
  readonly json: Json;
  readonly list: readonly Json[];
  readonly files: readonly StoredFile[];
}

interface Exchange extends RestState {
  readonly request: IncomingMessage;
  readonly response: ServerResponse;
  readonly params: readonly string[];
  readonly query: URLSearchParams;
  readonly body: Body;
}

type Route = readonly [method: string, path: RegExp, spec: string, handle: (exchange: Exchange) => void];

const EPHEMERAL = 64;
/** JSON error codes (Discord, Opcodes and Status Codes). */
const Errors = {
  unknownChannel: [404, 10_003, 'Unknown Channel'],
  unknownMessage: [404, 10_008, 'Unknown Message'],
  unknownInteraction: [404, 10_062, 'Unknown interaction'],
  alreadyAcknowledged: [400, 40_060, 'Interaction has already been acknowledged.'],
  missingAccess: [403, 50_001, 'Missing Access'],
  missingPermissions: [403, 50_013, 'Missing Permissions'],
} as const;

const VIEW_CHANNEL = 1n << 10n;
const SEND_MESSAGES = 1n << 11n;
const EMBED_LINKS = 1n << 14n;
const ATTACH_FILES = 1n << 15n;

const routes: readonly Route[] = [
  [
    'GET',
    /^\/gateway\/bot$/,
    '',
    ({ response, gatewayUrl }) =>
      answer(response, 200, {
        url: gatewayUrl(),
        shards: 1,
        session_start_limit: { total: 1000, remaining: 1000, reset_after: 1, max_concurrency: 1 },
      }),
  ],
  ['GET', /^\/users\/@me$/, '', ({ response, world }) => answer(response, 200, userJson(world.bot))],
  [
    'GET',
    /^\/applications\/(\d+)\/commands$/,
    '',
    ({ response, world }) => answer(response, 200, world.commands),
  ],
  ['PUT', /^\/applications\/(\d+)\/commands$/, '/applications/{application_id}/commands', putCommands],
  [
    'POST',
    /^\/interactions\/(\d+)\/([^/]+)\/callback$/,
    '/interactions/{interaction_id}/{interaction_token}/callback',
    callback,
  ],
  ['POST', /^\/webhooks\/(\d+)\/([^/]+)$/, '/webhooks/{webhook_id}/{webhook_token}', followUp],
  [
    'GET',
    /^\/webhooks\/(\d+)\/([^/]+)\/messages\/@original$/,
    '',
    ({ response, world, ...exchange }) => {
      const found = byToken(exchange.interactions, exchange.params[1])?.original;
      return found ? answer(response, 200, messageJson(found, world)) : fail(response, Errors.unknownMessage);
    },
  ],
  [
    'PATCH',
    /^\/webhooks\/(\d+)\/([^/]+)\/messages\/@original$/,
    '/webhooks/{webhook_id}/{webhook_token}/messages/@original',
    editOriginal,
  ],
  ['DELETE', /^\/webhooks\/(\d+)\/([^/]+)\/messages\/@original$/, '', deleteOriginal],
  ['POST', /^\/channels\/(\d+)\/messages$/, '/channels/{channel_id}/messages', createMessage],
  ['GET', /^\/channels\/(\d+)\/messages$/, '', listMessages],
  [
    'GET',
    /^\/channels\/(\d+)$/,
    '',
    ({ response, world, params }) => {
      const channel = world.channels.get(params[0] ?? '');
      return channel && !channel.deleted
        ? answer(response, 200, channelJson(channel, world.bot.id))
        : fail(response, Errors.unknownChannel);
    },
  ],
  [
    'POST',
    /^\/users\/@me\/channels$/,
    '/users/@me/channels',
    ({ response, world, body }) => {
      const id = String(body.json.recipient_id);
      const channelId = directChannel(world, id);
      answer(response, 200, {
        id: channelId,
        type: 1,
        recipients: [{ id, username: 'someone', discriminator: '0', avatar: null }],
      });
    },
  ],
];

/** Where direct messages with a person go. */
export function directChannel(world: World, userId: string): string {
  const name = `direct-${userId}`;
  const known = [...world.channels.values()].find((one) => one.name === name);
  if (known) return known.id;
  const id = world.newId();
  world.channels.set(id, { id, name, guildId: undefined, denied: 0n, deleted: false });
  return id;
}

/** Answers one request to the API as Discord would. */
export async function handleRest(
  state: RestState,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const url = new URL(request.url ?? '/', 'http://127.0.0.1');
  const path = decodeURIComponent(url.pathname.replace(/^\/api\/v10/, ''));
  const body = await readBody(request);
  const isInteraction = path.startsWith('/interactions/') || path.startsWith('/webhooks/');
  if (!isInteraction && request.headers.authorization !== `Bot ${state.token}`) {
    return answer(response, 401, { code: 0, message: '401: Unauthorized' });
  }
  for (const [method, pattern, spec, handle] of routes) {
    const match = request.method === method ? pattern.exec(path) : null;
    if (!match) continue;
    if (spec !== '') {
      const checked = method === 'PUT' ? body.list : body.json;
      const broken = state.check(method.toLowerCase(), spec, checked as Json);
      if (broken.length > 0) return refuse(state, response, broken);
    }
    return handle({ ...state, request, response, params: match.slice(1), query: url.searchParams, body });
  }
  state.violations.push(`${request.method} ${path}: the stand-in has no such route`);
  answer(response, 404, { code: 0, message: '404: Not Found' });
}

function putCommands({ response, world, body, ...state }: Exchange): void {
  const problems = commandProblems(body.list);
  if (problems.length > 0) return refuse(state, response, problems);
  world.overwrites++;
  world.commands = body.list.map((command) => ({
    id: world.newId(),
    application_id: world.applicationId,
    version: world.newId(),
    type: 1,
    default_member_permissions: null,
    nsfw: false,
    dm_permission: true,
    name_localizations: null,
    description_localizations: null,
    ...command,
  }));
  answer(response, 200, world.commands);
}

function callback(exchange: Exchange): void {
  const { response, world, params, query, interactions, body } = exchange;
  const interaction = interactions.get(params[0] ?? '');
  if (
    !interaction ||
    interaction.token !== params[1] ||
    Date.now() - interaction.createdAt > FIRST_ANSWER_MS
  ) {
    return fail(response, Errors.unknownInteraction);
  }
  if (interaction.callback) return fail(response, Errors.alreadyAcknowledged);
  const { type } = body.json;
  const data = isJson(body.json.data) ? body.json.data : {};
  const problems =
    type === 4 || type === 7
      ? messageProblems(data, true, body.files.length > 0)
      : type === 9
        ? modalProblems(data)
        : [];
  if (problems.length > 0) return refuse(exchange, response, problems);
  interaction.callback = body.json;
  interaction.answeredAfterMs = Date.now() - interaction.createdAt;
  if (type === 4) interaction.original = world.addMessage(interaction.channelId, data, body.files);
  if (type === 5) {
    interaction.deferred = true;
    interaction.deferredEphemeral = (Number(data.flags ?? 0) & EPHEMERAL) !== 0;
  }
  interaction.changed();
  if (query.get('with_response') === 'true') {
    answer(response, 200, {
      interaction: { id: interaction.id, type: 2, response_message_id: interaction.original?.id ?? null },
      ...(interaction.original
        ? { resource: { type, message: messageJson(interaction.original, world) } }
        : { resource: { type } }),
    });
  } else answer(response, 204, undefined);
}

function followUp(exchange: Exchange): void {
  const { response, world, params, interactions, body } = exchange;
  const interaction = byToken(interactions, params[1]);
  if (!interaction?.callback) return fail(response, Errors.unknownInteraction);
  const problems = messageProblems(body.json, true, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  const message = world.addMessage(interaction.channelId, body.json, body.files);
  interaction.followUps.push(message);
  interaction.changed();
  answer(response, 200, messageJson(message, world));
}

function editOriginal(exchange: Exchange): void {
  const { response, world, params, interactions, body } = exchange;
  const interaction = byToken(interactions, params[1]);
  if (!interaction?.callback) return fail(response, Errors.unknownInteraction);
  if (interaction.originalDeleted) return fail(response, Errors.unknownMessage);
  const problems = messageProblems(body.json, false, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  const flags = interaction.deferredEphemeral ? EPHEMERAL : 0;
  interaction.original ??= world.addMessage(interaction.channelId, { ...body.json, flags }, body.files);
  interaction.original.body = { ...interaction.original.body, ...body.json };
  interaction.changed();
  answer(response, 200, messageJson(interaction.original, world));
}

function deleteOriginal({ response, world, params, interactions }: Exchange): void {
  const interaction = byToken(interactions, params[1]);
  if (!interaction?.callback) return fail(response, Errors.unknownInteraction);
  const { original } = interaction;
  if (original) world.messages.splice(world.messages.indexOf(original), 1);
  interaction.originalDeleted = true;
  interaction.original = undefined;
  answer(response, 204, undefined);
}

function createMessage(exchange: Exchange): void {
  const { request, response, world, params, body, messageFaults } = exchange;
  const channel = world.channels.get(params[0] ?? '');
  if (!channel || channel.deleted) return fail(response, Errors.unknownChannel);
  if ((channel.denied & VIEW_CHANNEL) !== 0n) return fail(response, Errors.missingAccess);
  const needed =
    SEND_MESSAGES |
    (Array.isArray(body.json.embeds) && body.json.embeds.length > 0 ? EMBED_LINKS : 0n) |
    (body.files.length > 0 ? ATTACH_FILES : 0n);
  if ((channel.denied & needed) !== 0n) return fail(response, Errors.missingPermissions);
  const problems = messageProblems(body.json, true, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);

  const fault = messageFaults.shift();
  if (fault === 'drop-before') return void request.socket.destroy();
  if (typeof fault === 'object') {
    response.setHeader('retry-after', String(fault.retryAfter ?? 1));
    return answer(response, fault.status, {
      message: 'a fault',
      retry_after: fault.retryAfter ?? 1,
      global: false,
      code: 0,
    });
  }
  const known =
    body.json.enforce_nonce === true
      ? world.messages.find((one) => one.channelId === channel.id && one.nonce === String(body.json.nonce))
      : undefined;
  const message = known ?? world.addMessage(channel.id, body.json, body.files);
  if (fault === 'drop-after') return void request.socket.destroy();
  if (fault === 'drop-during') {
    response.writeHead(200, { 'content-type': 'application/json', 'content-length': '5000' });
    response.write('{"id": "');
    setTimeout(() => request.socket.destroy(), 10);
    return;
  }
  // Discord gives the nonce back in the answer to the request that carried it, and nowhere else reliably.
  answer(response, 200, { ...messageJson(message, world), nonce: message.nonce });
}

function listMessages({ response, world, params, query }: Exchange): void {
  const channel = world.channels.get(params[0] ?? '');
  if (!channel || channel.deleted) return fail(response, Errors.unknownChannel);
  if ((channel.denied & VIEW_CHANNEL) !== 0n) return fail(response, Errors.missingAccess);
  const after = query.get('after');
  const before = query.get('before');
  const found = world.messages
    .filter((one) => one.channelId === channel.id)
    .filter((one) => after === null || BigInt(one.id) > BigInt(after))
    .filter((one) => before === null || BigInt(one.id) < BigInt(before));
  const limit = Number(query.get('limit') ?? 50);
  const page = after === null ? found.slice(-limit) : found.slice(0, limit);
  answer(
    response,
    200,
    page.reverse().map((one) => messageJson(one, world)),
  );
}

function byToken(interactions: Map<string, Interaction>, token: string | undefined): Interaction | undefined {
  return [...interactions.values()].find((one) => one.token === token);
}

function answer(response: ServerResponse, status: number, body: unknown): void {
  if (body === undefined) {
    response.writeHead(status).end();
    return;
  }
  response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body));
}

function fail(response: ServerResponse, [status, code, message]: readonly [number, number, string]): void {
  answer(response, status, { code, message });
}

function refuse(
  { violations }: Pick<RestState, 'violations'>,
  response: ServerResponse,
  problems: readonly string[],
): void {
  violations.push(...problems);
  answer(response, 400, {
    code: 50_035,
    message: 'Invalid Form Body',
    errors: { _errors: problems.map((message) => ({ code: 'STAND_IN', message })) },
  });
}

const isJson = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

async function readBody(request: IncomingMessage): Promise<Body> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk);
  const bytes = Buffer.concat(chunks);
  const type = request.headers['content-type'] ?? '';
  if (bytes.length === 0) return { json: {}, list: [], files: [] };
  if (!type.startsWith('multipart/form-data')) return bodyOf(JSON.parse(bytes.toString('utf8')), []);
  const form = await new Response(bytes, { headers: { 'content-type': type } }).formData();
  const json: unknown = JSON.parse(String(form.get('payload_json') ?? '{}'));
  const files: StoredFile[] = [];
  for (const [name, value] of form.entries()) {
    const index = /^files\[(\d+)\]$/.exec(name)?.[1];
    if (index === undefined || typeof value === 'string') continue;
    files.push({
      name: value.name,
      description: descriptionOf(json, index),
      bytes: new Uint8Array(await value.arrayBuffer()),
    });
  }
  return bodyOf(json, files);
}

function bodyOf(parsed: unknown, files: readonly StoredFile[]): Body {
  return Array.isArray(parsed)
    ? { json: {}, list: parsed, files }
    : { json: isJson(parsed) ? parsed : {}, list: [], files };
}

function descriptionOf(json: unknown, index: string): string | undefined {
  const outer = isJson(json) && isJson(json.data) ? json.data : json;
  const attachments = isJson(outer) && Array.isArray(outer.attachments) ? outer.attachments : [];
  const found = attachments.filter(isJson).find((one) => String(one.id) === index);
  return typeof found?.description === 'string' ? found.description : undefined;
}
