import {
  AliasNode,
  AndNode,
  BinaryOperationNode,
  ColumnNode,
  type DeleteQueryNode,
  IdentifierNode,
  type InsertQueryNode,
  type KyselyPlugin,
  type OperationNode,
  OperationNodeTransformer,
  OperatorNode,
  ParensNode,
  type PluginTransformQueryArgs,
  PostgresQueryCompiler,
  type QueryId,
  RawNode,
  ReferenceNode,
  type RootOperationNode,
  type SelectQueryNode,
  TableNode,
  type UpdateQueryNode,
} from 'kysely';
import type { Records } from '../../src/records/database.js';
import type { Schema } from '../../src/records/schema.js';

/** Functions that may ask of every community at once, and why. */
const OF_ALL_COMMUNITIES: Readonly<Record<string, string>> = {
  dueAppointments: 'the scheduler looks for whatever has come due, wherever that is',
  appointmentsAfter: 'the scheduler brings back what a wrong clock moved too far ahead, wherever that is',
  overdueTastings: 'the scheduler closes tastings that were left open, wherever they are',
  claimDeliveries: 'the scheduler takes up whatever is due, wherever that is',
  claimUntoldClosed: 'the scheduler tells managers of closed channels, whoever they are',
  claimUntoldNearMisses: 'the scheduler tells managers of near misses, whoever they are',
  deliveriesDue: 'monitoring counts what waits in the whole bot',
  forgetDrafts: 'old drafts are forgotten everywhere',
};

type CommunityTable = {
  [Table in keyof Schema]: 'community_id' extends keyof Schema[Table] ? Table : never;
}[keyof Schema];

/** Every table with a community in it; a new one does not compile until it stands here. */
const COMMUNITY_TABLES: Readonly<Record<CommunityTable, true>> = {
  communities: true,
  members: true,
  batches: true,
  batch_changes: true,
  drafts: true,
  kitchens: true,
  vessels: true,
  deliveries: true,
  near_misses: true,
  taken_on: true,
  tastings: true,
  tasting_servings: true,
  tasting_answers: true,
};

const isCommunityTable = (name: string): boolean => Object.hasOwn(COMMUNITY_TABLES, name);
const RAW_TABLE = new RegExp(
  String.raw`\b(?:from|join|into|update|using)\s+(?:only\s+)?"?(?:${Object.keys(COMMUNITY_TABLES).join('|')})\b`,
  'i',
);

/** The statements that should have been held to a community, in SQL, since somebody last looked. */
export const offences: string[] = [];

/**
 * The same records, where every statement that the code makes must be held to the communities that it names: by its
 * `community_id`, in each table that has one. What a test itself asks is its own affair. A statement that is not fails
 * the test that led to it, through `no-offences.ts`.
 */
export const inOwnCommunity = (db: Records): Records => db.withPlugin(new OwnCommunity());

class OwnCommunity implements KyselyPlugin {
  transformQuery({ node, queryId }: PluginTransformQueryArgs): RootOperationNode {
    if (isUnscoped(node, queryId) && isOffence(callers())) offences.push(sqlOf(node, queryId));
    return node;
  }

  async transformResult<R>({ result }: { readonly result: R }): Promise<R> {
    return result;
  }
}

/** Whether a statement reads or writes rows of a community that it does not name. */
export function isUnscoped(node: RootOperationNode, queryId: QueryId): boolean {
  const search = new Search();
  search.transformNode(node, queryId);
  return search.found;
}

const sqlOf = (node: RootOperationNode, queryId: QueryId): string =>
  new PostgresQueryCompiler().compileQuery(node, queryId).sql;

/** Looks at every statement within a statement. */
class Search extends OperationNodeTransformer {
  found = false;

  protected override transformSelectQuery(node: SelectQueryNode, queryId?: QueryId): SelectQueryNode {
    this.look(node.from?.froms ?? [], node);
    return super.transformSelectQuery(node, queryId);
  }

  protected override transformUpdateQuery(node: UpdateQueryNode, queryId?: QueryId): UpdateQueryNode {
    this.look([...(node.table ? [node.table] : []), ...(node.from?.froms ?? [])], node);
    return super.transformUpdateQuery(node, queryId);
  }

  protected override transformDeleteQuery(node: DeleteQueryNode, queryId?: QueryId): DeleteQueryNode {
    this.look([...node.from.froms, ...(node.using?.tables ?? [])], node);
    return super.transformDeleteQuery(node, queryId);
  }

  protected override transformInsertQuery(node: InsertQueryNode, queryId?: QueryId): InsertQueryNode {
    const into = node.into && tableIn(node.into);
    const names = (node.columns ?? []).map(({ column }) => column.name);
    if (into?.isOfCommunities && !names.includes('community_id')) this.found = true;
    return super.transformInsertQuery(node, queryId);
  }

  protected override transformRaw(node: RawNode, queryId: QueryId): RawNode {
    const text = sqlOf(node, queryId);
    if (RAW_TABLE.test(text) && !text.includes('community_id')) this.found = true;
    return super.transformRaw(node, queryId);
  }

  private look(froms: readonly OperationNode[], statement: Conditions): void {
    const joined = (statement.joins ?? []).map(({ table }) => table);
    const tables = [...froms, ...joined].flatMap((node) => tableIn(node) ?? []);
    const conditions = [statement.where?.where, ...(statement.joins ?? []).map(({ on }) => on?.on)].flatMap(
      (node) => (node ? conjunctsOf(node) : []),
    );
    if (!areAllHeld(tables, conditions)) this.found = true;
  }
}

type Conditions = Pick<SelectQueryNode | UpdateQueryNode | DeleteQueryNode, 'where' | 'joins'>;

interface Table {
  /** What the statement calls it. */
  readonly name: string;
  readonly isOfCommunities: boolean;
}

function tableIn(node: OperationNode): Table | undefined {
  if (TableNode.is(node)) {
    const { name } = node.table.identifier;
    return { name, isOfCommunities: isCommunityTable(name) };
  }
  if (!AliasNode.is(node) || !IdentifierNode.is(node.alias)) return undefined;
  return { name: node.alias.name, isOfCommunities: tableIn(node.node)?.isOfCommunities ?? false };
}

/** The parts of a condition that must all be true. */
function conjunctsOf(node: OperationNode): readonly OperationNode[] {
  if (AndNode.is(node)) return [...conjunctsOf(node.left), ...conjunctsOf(node.right)];
  return ParensNode.is(node) ? conjunctsOf(node.node) : [node];
}

/** Whether each table is held to a community by a value, by a statement around this one, or by a table that is held. */
function areAllHeld(tables: readonly Table[], conditions: readonly OperationNode[]): boolean {
  const ofCommunities = tables.filter(({ isOfCommunities }) => isOfCommunities);
  const held = new Set<string>();
  const isFree = (name: string) => ofCommunities.some((table) => table.name === name) && !held.has(name);
  for (let before = -1; before < held.size; ) {
    before = held.size;
    for (const { name } of ofCommunities) {
      const isHeld = conditions.some(
        (condition) =>
          isRawAboutCommunity(condition) ||
          valuesFor(condition, name, ofCommunities.length === 1).some((value) => {
            const other = communityOf(value);
            return other === undefined || (other.table !== undefined && !isFree(other.table));
          }),
      );
      if (isHeld) held.add(name);
    }
  }
  return held.size === new Set(ofCommunities.map(({ name }) => name)).size;
}

const isRawAboutCommunity = (node: OperationNode): boolean =>
  RawNode.is(node) && node.sqlFragments.join('').includes('community_id');

/** What a condition says the `community_id` of a table is; nothing where it says nothing of it. */
function valuesFor(node: OperationNode, table: string, isAlone: boolean): readonly OperationNode[] {
  if (!BinaryOperationNode.is(node) || !OperatorNode.is(node.operator)) return [];
  if (node.operator.operator !== '=' && node.operator.operator !== 'in') return [];
  const isOwn = (side: OperationNode) => {
    const own = communityOf(side);
    return own !== undefined && (own.table === table || (own.table === undefined && isAlone));
  };
  const { leftOperand: left, rightOperand: right } = node;
  return [...(isOwn(left) ? [right] : []), ...(isOwn(right) ? [left] : [])];
}

/** The table that a reference to a `community_id` names, if it names one; undefined for anything else. */
function communityOf(node: OperationNode): { readonly table: string | undefined } | undefined {
  if (!ReferenceNode.is(node) || !ColumnNode.is(node.column)) return undefined;
  if (node.column.column.name !== 'community_id') return undefined;
  return { table: node.table?.table.identifier.name };
}

const ROOT = new URL('../..', import.meta.url).pathname;

/** The functions of this project that led here, the nearest first. */
function callers(): readonly string[] {
  const usual = Error.stackTraceLimit;
  Error.stackTraceLimit = 50;
  const { stack = '' } = new Error();
  Error.stackTraceLimit = usual;
  return stack
    .split('\n')
    .filter(
      (line) => line.includes(ROOT) && !line.includes('node_modules') && !line.includes('own-community'),
    );
}

function isOffence([nearest = '', ...others]: readonly string[]): boolean {
  if (nearest.includes(`${ROOT}test/`)) return false;
  const names = [nearest, ...others].map((line) => /at (?:async )?(\w+) /.exec(line)?.[1] ?? '');
  return !names.some((name) => Object.hasOwn(OF_ALL_COMMUNITIES, name));
}
