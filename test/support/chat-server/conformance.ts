import { existsSync, readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { unknownKeys } from './unknown-keys.js';

/** Discord's own description of its API (discord-api-spec, specs/openapi.json); not part of the repository. */
const SPEC = new URL('../../../../shared/discord/openapi.json', import.meta.url);

/** Whether it is there to be checked against. */
export const SPEC_IS_HERE = existsSync(SPEC);

export type Check = (method: string, path: string, body: unknown) => readonly string[];

let made: Check | undefined;

/** Checks request bodies against Discord's description, or says once that it is not here and checks nothing. */
export function conformanceCheck(): Check {
  // Reading the description takes longer than most of what is checked.
  made ??= makeCheck();
  return made;
}

function makeCheck(): Check {
  if (!existsSync(SPEC)) {
    console.info('skipped: bodies are not checked against ../shared/discord/openapi.json, which is not here');
    return () => [];
  }
  const ajv = new Ajv2020({ strict: false, allErrors: true, validateFormats: true });
  addFormats.default(ajv);
  // The schema's own patterns do the work.
  ajv.addFormat('snowflake', true);
  ajv.addFormat('nonce', true);
  const document = JSON.parse(readFileSync(SPEC, 'utf8'));
  ajv.addSchema(document, 'discord');
  const compiled = new Map<string, ValidateFunction>();

  return (method, path, body) => {
    const schema = path.endsWith('/callback') ? callbackSchema(body) : pathSchema(method, path);
    let validate = compiled.get(schema);
    if (!validate) {
      validate = ajv.compile({ $ref: schema });
      compiled.set(schema, validate);
    }
    const fits = validate(adapted(body));
    const errors = fits ? [] : (validate.errors ?? []);
    return [
      ...errors.map(({ instancePath, message }) => `${method} ${path} ${instancePath} ${message}`),
      ...unknownKeys(document, decodeURIComponent(schema.slice('discord'.length)), body).map(
        (key) => `${method} ${path} /${key} is not known to Discord`,
      ),
    ];
  };
}

const escaped = (text: string) => encodeURIComponent(text.replaceAll('~', '~0').replaceAll('/', '~1'));

const pathSchema = (method: string, path: string) =>
  `discord#/paths/${escaped(path)}/${method}/requestBody/content/${escaped('application/json')}/schema`;

function callbackSchema(body: unknown): string {
  const type = typeof body === 'object' && body !== null && 'type' in body ? body.type : undefined;
  const names: { readonly [type: number]: string } = {
    4: 'CreateMessageInteractionCallbackRequest',
    5: 'CreateMessageInteractionCallbackRequest',
    6: 'UpdateMessageInteractionCallbackRequest',
    7: 'UpdateMessageInteractionCallbackRequest',
    8: 'ApplicationCommandAutocompleteCallbackRequest',
    9: 'ModalInteractionCallbackRequest',
  };
  return `discord#/components/schemas/${names[Number(type)] ?? 'CreateMessageInteractionCallbackRequest'}`;
}

/** The description types permissions as whole numbers; Discord documents, and builders send, digit strings. */
function adapted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(adapted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, inner]) => [
      key,
      key === 'default_member_permissions' && typeof inner === 'string' ? Number(inner) : adapted(inner),
    ]),
  );
}
