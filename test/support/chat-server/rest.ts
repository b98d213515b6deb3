import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Check } from './conformance.js';
import { answerWith, type Fault, type Faults, meet, type RequestKind } from './faults.js';
import { FIRST_ANSWER_MS, type Interaction, TOKEN_LIFE_MS } from './interactions.js';
import { commandProblems, messageProblems, modalProblems } from './refusals.js';
import {
  type Channel,
  channelJson,
  guildJson,
  isEphemeral,
  type Json,
  type Message,
  memberJson,
  messageJson,
  type StoredFile,
  userJson,
  type World,
} from './world.js';

export interface RestState {
  readonly world: World;
  readonly token: string;
  readonly interactions: Map<string, Interaction>;
  readonly violations: string[];
  readonly check: Check;
  readonly faults: Faults;
  /** Hears of every request that has a kind, before anything is done about it. */
  onRequest(kind: RequestKind, fault: Fault | undefined): void;
  /** Whether the bot's token is taken, asked once for each request that carries it. */
  isTokenTaken(): boolean;
  /** What `GET /gateway/bot` says besides the address. */
  readonly gatewayInfo: { readonly shards: () => number; readonly maxConcurrency: number };
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

type Route = readonly [
  method: string,
  path: RegExp,
  spec: string,
  handle: (exchange: Exchange) => void,
  kind?: RequestKind,
];

const EPHEMERAL = 64;
/** JSON error codes (Discord, Opcodes and Status Codes). */
const Errors = {
  unknownChannel: [404, 10_003, 'Unknown Channel'],
  unknownGuild: [404, 10_004, 'Unknown Guild'],
  unknownMember: [404, 10_007, 'Unknown Member'],
  unknownMessage: [404, 10_008, 'Unknown Message'],
  unknownUser: [404, 10_013, 'Unknown User'],
  unknownWebhook: [404, 10_015, 'Unknown Webhook'],
  unknownInteraction: [404, 10_062, 'Unknown interaction'],
  unknownCommandPermissions: [404, 10_066, 'Unknown application command permissions'],
  alreadyAcknowledged: [400, 40_060, 'Interaction has already been acknowledged.'],
  missingAccess: [403, 50_001, 'Missing Access'],
  missingPermissions: [403, 50_013, 'Missing Permissions'],
  expiredToken: [401, 50_027, 'Invalid Webhook Token'],
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
    ({ response, gatewayUrl, gatewayInfo: { shards, maxConcurrency } }) =>
      answer(response, 200, {
        url: gatewayUrl(),
        shards: shards(),
        session_start_limit: {
          total: 1000,
          remaining: 1000,
          reset_after: 1,
          max_concurrency: maxConcurrency,
        },
      }),
  ],
  ['GET', /^\/users\/@me$/, '', ({ response, world }) => answer(response, 200, userJson(world.bot)), 'me'],
  [
    'GET',
    /^\/applications\/(\d+)\/commands$/,
    '',
    ({ response, world }) => answer(response, 200, world.commands),
    'commands',
  ],
  [
    'PUT',
    /^\/applications\/(\d+)\/commands$/,
    '/applications/{application_id}/commands',
    putCommands,
    'commands',
  ],
  [
    'GET',
    /^\/applications\/(\d+)\/guilds\/(\d+)\/commands\/(\d+)\/permissions$/,
    '',
    ({ response, world, params }) => {
      const permissions = world.commandPermissions.get(`${params[1]} ${params[2]}`);
      if (!permissions) return fail(response, Errors.unknownCommandPermissions);
      return answer(response, 200, {
        id: params[2],
        application_id: params[0],
        guild_id: params[1],
        permissions,
      });
    },
  ],
  [
    'POST',
    /^\/interactions\/(\d+)\/([^/]+)\/callback$/,
    '/interactions/{interaction_id}/{interaction_token}/callback',
    callback,
    'callback',
  ],
  [
    'POST',
    /^\/webhooks\/(\d+)\/([^/]+)$/,
    '/webhooks/{webhook_id}/{webhook_token}',
    followUp,
    'further message',
  ],
  ['GET', /^\/webhooks\/(\d+)\/([^/]+)\/messages\/(@original|\d+)$/, '', readAnswer],
  [
    'PATCH',
    /^\/webhooks\/(\d+)\/([^/]+)\/messages\/(@original|\d+)$/,
    '/webhooks/{webhook_id}/{webhook_token}/messages/@original',
    editAnswer,
    'edit of an answer',
  ],
  [
    'DELETE',
    /^\/webhooks\/(\d+)\/([^/]+)\/messages\/(@original|\d+)$/,
    '',
    deleteAnswer,
    'deletion of an answer',
  ],
  ['POST', /^\/channels\/(\d+)\/messages$/, '/channels/{channel_id}/messages', createMessage, 'message'],
  ['GET', /^\/channels\/(\d+)\/messages$/, '', listMessages, 'list of messages'],
  ['GET', /^\/channels\/(\d+)\/messages\/(\d+)$/, '', readMessage],
  [
    'PATCH',
    /^\/channels\/(\d+)\/messages\/(\d+)$/,
    '/channels/{channel_id}/messages/{message_id}',
    editMessage,
  ],
  ['DELETE', /^\/channels\/(\d+)\/messages\/(\d+)$/, '', deleteMessage],
  [
    'GET',
    /^\/users\/(\d+)$/,
    '',
    ({ response, world, params }) => {
      const user = world.users.get(params[0] ?? '');
      return user ? answer(response, 200, userJson(user)) : fail(response, Errors.unknownUser);
    },
  ],
  [
    'GET',
    /^\/guilds\/(\d+)\/members\/(\d+)$/,
    '',
    ({ response, world, params }) => {
      const user = world.guilds.has(params[0] ?? '') ? world.users.get(params[1] ?? '') : undefined;
      return user ? answer(response, 200, memberJson(user)) : fail(response, Errors.unknownMember);
    },
  ],
  [
    'GET',
    /^\/channels\/(\d+)$/,
    '',
    ({ response, world, params }) => {
      const channel = world.channels.get(params[0] ?? '');
      if (!channel || channel.deleted) return fail(response, Errors.unknownChannel);
      if (!isSeen(world, channel)) return fail(response, Errors.missingAccess);
      return answer(response, 200, channelJson(channel, world.bot.id));
    },
  ],
  [
    'POST',
    /^\/users\/@me\/channels$/,
    '/users/@me/channels',
    ({ response, world, body }) => {
      const id = String(body.json.recipient_id);
      const channel = world.channels.get(directChannel(world, id));
      if (channel) answer(response, 200, channelJson(channel, world.bot.id));
    },
    'direct channel',
  ],
  [
    'GET',
    /^\/guilds\/(\d+)$/,
    '',
    ({ response, world, params }) => {
      const guild = world.guilds.get(params[0] ?? '');
      return guild ? answer(response, 200, guildJson(guild, world.bot)) : fail(response, Errors.unknownGuild);
    },
  ],
  [
    'GET',
    /^\/guilds\/(\d+)\/channels$/,
    '',
    ({ response, world, params }) => {
      const guild = world.guilds.get(params[0] ?? '');
      if (!guild) return fail(response, Errors.unknownGuild);
      // Those that the bot may not see are listed too (Guild › Get Guild Channels).
      return answer(
        response,
        200,
        guild.channels.filter((one) => !one.deleted).map((one) => channelJson(one, world.bot.id)),
      );
    },
  ],
];

/** The bot sees a channel unless it is denied there, or is not on its server any more. */
const isSeen = ({ guilds }: World, { denied, guildId }: Channel): boolean =>
  (denied & VIEW_CHANNEL) === 0n && (guildId === undefined || guilds.has(guildId));

/** Where direct messages with a person go. */
export function directChannel(world: World, userId: string): string {
  const name = `direct-${userId}`;
  const known = [...world.channels.values()].find((one) => one.name === name);
  if (known) return known.id;
  const id = world.newId();
  const recipient = world.users.get(userId) ?? { id: userId, username: 'someone', bot: false };
  world.channels.set(id, {
    id,
    name,
    guildId: undefined,
    recipient,
    denied: 0n,
    deleted: false,
    refusal: undefined,
  });
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
  const isKnown = request.headers.authorization === `Bot ${state.token}`;
  if (!isInteraction && !(isKnown && state.isTokenTaken())) {
    return answer(response, 401, { code: 0, message: '401: Unauthorized' });
  }
  for (const [method, pattern, spec, handle, kind] of routes) {
    const match = request.method === method ? pattern.exec(path) : null;
    if (!match) continue;
    if (spec !== '') {
      const checked = method === 'PUT' ? body.list : body.json;
      const broken = state.check(method.toLowerCase(), spec, checked);
      if (broken.length > 0) return refuse(state, response, broken);
    }
    const exchange = { ...state, request, params: match.slice(1), query: url.searchParams, body };
    const perform = (to: ServerResponse): void => handle({ ...exchange, response: to });
    const kinds = kindsOf(kind, body);
    const fault = kinds.reduce<Fault | undefined>((found, one) => found ?? state.faults.take(one), undefined);
    for (const one of kinds) state.onRequest(one, fault);
    return fault === undefined ? perform(response) : meet(fault, request, response, perform);
  }
  state.violations.push(`${request.method} ${path}: the stand-in has no such route`);
  answer(response, 404, { code: 0, message: '404: Not Found' });
}

/** The names that a request can be made to fail by, the narrower first. */
function kindsOf(kind: RequestKind | undefined, { json }: Body): readonly RequestKind[] {
  if (kind === undefined) return [];
  return kind === 'callback' && json.type === 5 ? ['waiting notice', kind] : [kind];
}

function putCommands({ response, world, body, ...state }: Exchange): void {
  const problems = commandProblems(body.list);
  if (problems.length > 0) return refuse(state, response, problems);
  world.overwrites++;
  // A command that keeps its name keeps its id (Bulk Overwrite Global Application Commands).
  const before = new Map(world.commands.map((command) => [command.name, command.id]));
  world.commands = body.list.map((command) => ({
    id: before.get(command.name) ?? world.newId(),
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
  if (!interaction || interaction.token !== params[1]) return fail(response, Errors.unknownInteraction);
  const refused = interaction.callback
    ? Errors.alreadyAcknowledged
    : Date.now() - interaction.createdAt > FIRST_ANSWER_MS
      ? Errors.unknownInteraction
      : undefined;
  if (refused) {
    interaction.refusedWith.push(refused[1]);
    interaction.changed();
    return fail(response, refused);
  }
  const { type } = body.json;
  const data = isJson(body.json.data) ? body.json.data : {};
  const problems = callbackProblems(interaction, Number(type), data, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  interaction.callback = body.json;
  interaction.answeredAfterMs = Date.now() - interaction.createdAt;
  if (type === 4) interaction.original = world.addMessage(interaction.channelId, data, body.files);
  if (type === 5) {
    interaction.deferred = true;
    interaction.deferredEphemeral = (Number(data.flags ?? 0) & EPHEMERAL) !== 0;
  }
  if (type === 6) interaction.deferred = true;
  if (type === 6 || type === 7) interaction.original = interaction.source;
  if (type === 7 && interaction.source) {
    change(interaction.source, body);
    interaction.updated = true;
  }
  interaction.changed();
  if (query.get('with_response') === 'true') {
    answer(response, 200, {
      interaction: {
        id: interaction.id,
        type: interaction.type,
        ...(interaction.original ? { response_message_id: interaction.original.id } : {}),
      },
      // Only where a message was made or changed (Interaction Callback Resource).
      ...(interaction.original && (type === 4 || type === 7)
        ? { resource: { type, message: messageJson(interaction.original, world) } }
        : {}),
    });
  } else answer(response, 204, undefined);
}

/** Which first answers an interaction takes, and what is wrong with the one that was given. */
function callbackProblems(
  { type: asked, source }: Interaction,
  type: number,
  data: Json,
  hasFiles: boolean,
): readonly string[] {
  const taken = asked === 4 ? [8] : [4, 5, ...(source ? [6, 7] : []), ...(asked === 5 ? [] : [9])];
  if (!taken.includes(type)) return [`${type} is no answer to an interaction of type ${asked}`];
  if (type === 4) return messageProblems(data, true, hasFiles);
  if (type === 7) return messageProblems(data, false, hasFiles);
  return type === 9 ? modalProblems(data) : [];
}

/** Changes what was sent; the rest stays. New files join the old ones unless `attachments` leaves those out. */
function change(message: Message, { json, files }: Body): void {
  const sent = isJson(json.data) ? json.data : json;
  const flags = (Number(message.body.flags ?? 0) & EPHEMERAL) | (Number(sent.flags ?? 0) & ~EPHEMERAL);
  message.body = { ...message.body, ...sent, flags };
  message.files = Array.isArray(sent.attachments) ? files : [...message.files, ...files];
}

/** The interaction that a token belongs to, while Discord takes more for it; answers the request when it does not. */
function answered({ response, params, interactions }: Exchange): Interaction | undefined {
  const interaction = byToken(interactions, params[1]);
  if (!interaction?.callback) fail(response, Errors.unknownWebhook);
  else if (Date.now() - interaction.createdAt > TOKEN_LIFE_MS) fail(response, Errors.expiredToken);
  else return interaction;
  return undefined;
}

/** A further message; but the first after a waiting notice takes the notice's place, and its visibility. */
function followUp(exchange: Exchange): void {
  const { response, world, body } = exchange;
  const interaction = answered(exchange);
  if (!interaction) return;
  const problems = messageProblems(body.json, true, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  const message = isWaiting(interaction)
    ? fillNotice(interaction, exchange)
    : world.addMessage(interaction.channelId, body.json, body.files);
  if (message !== interaction.original) interaction.followUps.push(message);
  interaction.changed();
  answer(response, 200, messageJson(message, world));
}

const isWaiting = ({ deferred, original, originalDeleted }: Interaction): boolean =>
  deferred && !original && !originalDeleted;

function fillNotice(interaction: Interaction, { world, body }: Exchange): Message {
  const flags = (Number(body.json.flags ?? 0) & ~EPHEMERAL) | (interaction.deferredEphemeral ? EPHEMERAL : 0);
  const message = world.addMessage(interaction.channelId, { ...body.json, flags }, body.files);
  interaction.original = message;
  return message;
}

/** The answer that the path names: the first one, or a further one by its id. */
function named({ original, followUps }: Interaction, { params }: Exchange): Message | undefined {
  const id = params[2];
  return id === '@original' || id === original?.id ? original : followUps.find((one) => one.id === id);
}

function readAnswer(exchange: Exchange): void {
  const { response, world } = exchange;
  const interaction = answered(exchange);
  if (!interaction) return;
  const found = named(interaction, exchange);
  if (!found) return fail(response, Errors.unknownMessage);
  answer(response, 200, messageJson(found, world));
}

function editAnswer(exchange: Exchange): void {
  const { response, world, params, body } = exchange;
  const interaction = answered(exchange);
  if (!interaction) return;
  const fillsNotice = params[2] === '@original' && isWaiting(interaction);
  const found = named(interaction, exchange);
  if (!found && !fillsNotice) return fail(response, Errors.unknownMessage);
  const problems = messageProblems(body.json, fillsNotice, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  if (found) change(found, body);
  if (found === interaction.source) interaction.updated = true;
  const message = found ?? fillNotice(interaction, exchange);
  interaction.changed();
  answer(response, 200, messageJson(message, world));
}

function deleteAnswer(exchange: Exchange): void {
  const { response, world } = exchange;
  const interaction = answered(exchange);
  if (!interaction) return;
  const found = named(interaction, exchange);
  if (!found && !(exchange.params[2] === '@original' && isWaiting(interaction)))
    return fail(response, Errors.unknownMessage);
  if (found) world.messages.splice(world.messages.indexOf(found), 1);
  if (found === interaction.original) {
    interaction.originalDeleted = true;
    interaction.original = undefined;
  } else if (found) interaction.followUps.splice(interaction.followUps.indexOf(found), 1);
  interaction.changed();
  answer(response, 204, undefined);
}

/** A message of the channel in the path; answers the request when it is not there for the bot. */
function wanted({ response, world, params }: Exchange): Message | undefined {
  const channel = world.channels.get(params[0] ?? '');
  const found = world.messages.find((one) => one.channelId === params[0] && one.id === params[1]);
  if (!channel || channel.deleted) fail(response, Errors.unknownChannel);
  else if (!isSeen(world, channel)) fail(response, Errors.missingAccess);
  else if (!found || isEphemeral(found)) fail(response, Errors.unknownMessage);
  else return found;
  return undefined;
}

function readMessage(exchange: Exchange): void {
  const found = wanted(exchange);
  if (found) answer(exchange.response, 200, messageJson(found, exchange.world));
}

function editMessage(exchange: Exchange): void {
  const { response, world, body } = exchange;
  const found = wanted(exchange);
  if (!found) return;
  const problems = messageProblems(body.json, false, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);
  change(found, body);
  answer(response, 200, messageJson(found, world));
}

function deleteMessage(exchange: Exchange): void {
  const { response, world } = exchange;
  const found = wanted(exchange);
  if (!found) return;
  world.messages.splice(world.messages.indexOf(found), 1);
  answer(response, 204, undefined);
}

function createMessage(exchange: Exchange): void {
  const { response, world, params, body } = exchange;
  const channel = world.channels.get(params[0] ?? '');
  if (!channel || channel.deleted) return fail(response, Errors.unknownChannel);
  if (!isSeen(world, channel)) return fail(response, Errors.missingAccess);
  const needed =
    SEND_MESSAGES |
    (Array.isArray(body.json.embeds) && body.json.embeds.length > 0 ? EMBED_LINKS : 0n) |
    (body.files.length > 0 ? ATTACH_FILES : 0n);
  if ((channel.denied & needed) !== 0n) return fail(response, Errors.missingPermissions);
  if (channel.refusal) return answerWith(channel.refusal, response);
  const problems = messageProblems(body.json, true, body.files.length > 0);
  if (problems.length > 0) return refuse(exchange, response, problems);

  const known =
    body.json.enforce_nonce === true
      ? world.messages.find((one) => one.channelId === channel.id && one.nonce === String(body.json.nonce))
      : undefined;
  const message = known ?? world.addMessage(channel.id, body.json, body.files);
  // Discord gives the nonce back in the answer to the request that carried it, and nowhere else reliably.
  answer(response, 200, { ...messageJson(message, world), nonce: message.nonce });
}

function listMessages({ response, world, params, query }: Exchange): void {
  const channel = world.channels.get(params[0] ?? '');
  if (!channel || channel.deleted) return fail(response, Errors.unknownChannel);
  if (!isSeen(world, channel)) return fail(response, Errors.missingAccess);
  const after = query.get('after');
  const before = query.get('before');
  const found = world.messages
    .filter((one) => one.channelId === channel.id && !isEphemeral(one))
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
