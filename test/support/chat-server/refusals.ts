import type { Json } from './world.js';

/** What Discord refuses although its description does not say so (see the documentation pages named beside each). */

const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const list = (value: unknown): readonly Json[] => (Array.isArray(value) ? value.filter(isObject) : []);
const text = (value: unknown): string => (typeof value === 'string' ? value : '');

/** Application Commands › Naming, Option Structure; 8,000 characters a command. */
export function commandProblems(commands: readonly Json[]): readonly string[] {
  const names = commands.map((command) => text(command.name));
  return [
    ...duplicates(names).map((name) => `two commands are called ${name}`),
    ...commands.flatMap((command) => [...entryProblems(command, text(command.name)), ...tooLong(command)]),
  ];
}

function entryProblems(entry: Json, path: string): readonly string[] {
  const options = list(entry.options);
  const firstOptional = options.findIndex((option) => option.required !== true);
  const misplaced =
    firstOptional < 0 ? [] : options.slice(firstOptional).filter((option) => option.required === true);
  return [
    ...(/^[-_'\p{Ll}\p{Lo}\p{N}]{1,32}$/u.test(text(entry.name)) ? [] : [`${path}: bad name`]),
    ...(text(entry.description) === '' ? [`${path}: no description`] : []),
    ...duplicates(options.map((option) => text(option.name))).map(
      (name) => `${path}: two options called ${name}`,
    ),
    ...misplaced.map((option) => `${path}: required ${text(option.name)} after an optional one`),
    ...options.flatMap((option) => entryProblems(option, `${path} ${text(option.name)}`)),
  ];
}

function tooLong(command: Json): readonly string[] {
  const count = (entry: Json): number =>
    text(entry.name).length +
    text(entry.description).length +
    list(entry.choices).reduce(
      (sum, choice) => sum + text(choice.name).length + text(choice.value).length,
      0,
    ) +
    list(entry.options).reduce((sum, option) => sum + count(option), 0);
  return count(command) > 8000 ? [`${text(command.name)}: over 8000 characters`] : [];
}

const ROW = 1;
const BUTTON = 2;
const LINK = 5;
const COMPONENTS_V2 = 1 << 15;

/** Message › Embed Limits; Create Message; Component Reference. */
export function messageProblems(message: Json, needsContent: boolean, hasFiles: boolean): readonly string[] {
  const embeds = list(message.embeds);
  const characters = embeds.reduce(
    (sum, embed) =>
      sum +
      text(embed.title).length +
      text(embed.description).length +
      (isObject(embed.footer) ? text(embed.footer.text).length : 0) +
      (isObject(embed.author) ? text(embed.author.name).length : 0) +
      list(embed.fields).reduce(
        (inner, field) => inner + text(field.name).length + text(field.value).length,
        0,
      ),
    0,
  );
  const rows = list(message.components);
  const ids = rows.flatMap((row) => list(row.components)).map((component) => component.custom_id);
  const empty = text(message.content) === '' && embeds.length === 0 && rows.length === 0 && !hasFiles;
  return [
    ...(text(message.content).length > 2000 ? ['content over 2000 characters'] : []),
    ...(needsContent && empty ? ['an empty message'] : []),
    ...(characters > 6000 ? ['embeds over 6000 characters together'] : []),
    ...embeds
      .flatMap((embed) => list(embed.fields))
      .filter((field) => text(field.name).trim() === '' || text(field.value).trim() === '')
      .map(() => 'an embed field without name or value'),
    ...layoutProblems(message, rows),
    ...duplicates(ids.filter((id) => typeof id === 'string').map(text)).map(
      (id) => `two components called ${id}`,
    ),
    ...rows
      .flatMap((row) => [...list(row.components), ...(isObject(row.accessory) ? [row.accessory] : [])])
      .filter(({ type }) => type === BUTTON)
      .flatMap(buttonProblems),
    ...(pingsNobody(message.allowed_mentions) ? [] : ['mentions are not switched off']),
  ];
}

/** Message › Allowed Mentions: an empty `parse`, and nobody named beside it. */
function pingsNobody(allowed: unknown): boolean {
  if (!isObject(allowed)) return false;
  const isEmpty = (named: unknown): boolean => Array.isArray(named) && named.length === 0;
  const isUnused = (named: unknown): boolean => named === undefined || isEmpty(named);
  return (
    isEmpty(allowed.parse) &&
    isUnused(allowed.users) &&
    isUnused(allowed.roles) &&
    allowed.replied_user !== true
  );
}

/** Component Reference › Legacy Message Component Behavior, and the flag that goes with the newer kind. */
function layoutProblems(message: Json, rows: readonly Json[]): readonly string[] {
  if ((Number(message.flags ?? 0) & COMPONENTS_V2) === 0)
    return [
      ...(rows.length > 5 ? ['more than 5 action rows'] : []),
      ...(rows.some(({ type }) => type !== ROW) ? ['components of the newer kind without their flag'] : []),
    ];
  return text(message.content) !== '' || list(message.embeds).length > 0
    ? ['content or embeds beside components of the newer kind']
    : [];
}

/** Component Reference › Button Design Guidelines: a link has a url and no custom_id, the others the reverse. */
function buttonProblems(button: Json): readonly string[] {
  const isLink = button.style === LINK;
  return [
    ...(!isLink && text(button.custom_id) === '' ? ['a button without custom_id'] : []),
    ...(isLink && text(button.url) === '' ? ['a link without url'] : []),
    ...(isLink && text(button.custom_id) !== '' ? ['a link with custom_id'] : []),
    ...(text(button.label).trim() === '' && !isObject(button.emoji) ? ['a button without label'] : []),
  ];
}

/** Receiving and Responding › Modal: 1 to 5 components. */
export function modalProblems(modal: Json): readonly string[] {
  const rows = list(modal.components);
  const inputs = rows.flatMap((row) => [
    ...list(row.components),
    ...(isObject(row.component) ? [row.component] : []),
  ]);
  return [
    ...(rows.length < 1 || rows.length > 5 ? [`a modal with ${rows.length} components`] : []),
    ...duplicates(inputs.map((input) => text(input.custom_id))).map((id) => `two inputs called ${id}`),
    ...inputs
      .filter((input) => Number(input.min_length ?? 0) > Number(input.max_length ?? 4000))
      .map(() => 'min_length above max_length'),
    ...inputs
      .filter((input) => text(input.value).length > Number(input.max_length ?? 4000))
      .map((input) => `the value of ${text(input.custom_id)} is longer than its max_length`),
  ];
}

function duplicates(names: readonly string[]): readonly string[] {
  return [...new Set(names.filter((name, at) => names.indexOf(name) !== at))];
}
