import type { Json } from './world.js';

/** Keys that Discord documents, or that the client always sends, although its description does not list them there. */
const ALSO_KNOWN: ReadonlySet<string> = new Set(['nsfw', 'tts', 'enforce_nonce']);

/**
 * Keys of a body that its schema does not name, by the way to them (`embeds/0/titel`): the description lets them pass, so a misspelt one
 * would go unnoticed.
 */
export function unknownKeys(document: unknown, pointer: string, body: unknown): readonly string[] {
  return strangersIn(document, [schemaAt(document, pointer)], body, '');
}

function strangersIn(
  document: unknown,
  schemas: readonly unknown[],
  value: unknown,
  at: string,
): readonly string[] {
  const step = (name: string | number): string => (at === '' ? `${name}` : `${at}/${name}`);
  const fitting = schemas.flatMap((schema) => alternatives(document, schema, value));
  if (Array.isArray(value)) {
    const items = fitting.flatMap((schema) => (schema.items === undefined ? [] : [schema.items]));
    return value.flatMap((inner, index) => strangersIn(document, items, inner, step(index)));
  }
  if (!isJson(value) || fitting.some(({ additionalProperties }) => isJson(additionalProperties))) return [];
  return Object.entries(value).flatMap(([key, inner]) => {
    const known = fitting.flatMap(({ properties }) =>
      isJson(properties) && properties[key] !== undefined ? [properties[key]] : [],
    );
    if (known.length > 0) return strangersIn(document, known, inner, step(key));
    return ALSO_KNOWN.has(key) || fitting.length === 0 ? [] : [step(key)];
  });
}

/** Every plain schema that may describe the value: references followed, alternatives of another `type` left out. */
function alternatives(document: unknown, schema: unknown, value: unknown): readonly Json[] {
  if (!isJson(schema)) return [];
  if (typeof schema.$ref === 'string') return alternatives(document, schemaAt(document, schema.$ref), value);
  const inner = [schema.oneOf, schema.anyOf, schema.allOf].flatMap((list) =>
    Array.isArray(list) ? list.flatMap((one) => alternatives(document, one, value)) : [],
  );
  return [schema, ...inner].filter((one) => isOfKind(one, value));
}

function isOfKind({ properties }: Json, value: unknown): boolean {
  if (!isJson(value) || !isJson(properties) || !isJson(properties.type)) return true;
  const kinds = properties.type.enum;
  return !Array.isArray(kinds) || value.type === undefined || kinds.includes(value.type);
}

function schemaAt(document: unknown, pointer: string): unknown {
  return pointer
    .split('/')
    .slice(1)
    .map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'))
    .reduce<unknown>((node, part) => (isJson(node) ? node[part] : undefined), document);
}

const isJson = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
