import {
  DeleteQueryNode,
  InsertQueryNode,
  type KyselyPlugin,
  type OperationNode,
  TableNode,
  UpdateQueryNode,
} from 'kysely';

/** Where the bot keeps for itself what it needs to go on: who there is, and what a button will need. */
const OWN_NOTES: ReadonlySet<string> = new Set(['communities', 'members', 'drafts']);

/** Hears of every statement that writes something for a person. */
export function writeWatch(onWrite: (table: string) => void): KyselyPlugin {
  return {
    transformQuery({ node }) {
      const table = writtenBy(node);
      if (table !== undefined && !(InsertQueryNode.is(node) && OWN_NOTES.has(table))) onWrite(table);
      return node;
    },
    transformResult: async ({ result }) => result,
  };
}

function writtenBy(node: OperationNode): string | undefined {
  if (InsertQueryNode.is(node)) return nameOf(node.into);
  if (UpdateQueryNode.is(node)) return nameOf(node.table);
  return DeleteQueryNode.is(node) ? nameOf(node.from.froms[0]) : undefined;
}

const nameOf = (node: OperationNode | undefined): string =>
  node !== undefined && TableNode.is(node) ? node.table.identifier.name : 'another table';
