import {
  type Compilable,
  createQueryId,
  DummyDriver,
  Kysely,
  PostgresAdapter,
  PostgresIntrospector,
  PostgresQueryCompiler,
  type RootOperationNode,
  sql,
} from 'kysely';
import { describe, expect, it } from 'vitest';
import type { Schema } from '../../src/records/schema.js';
import { isUnscoped } from './own-community.js';

/** Compiles statements and sends them nowhere. */
const db = new Kysely<Schema>({
  dialect: {
    createAdapter: () => new PostgresAdapter(),
    createDriver: () => new DummyDriver(),
    createIntrospector: (any) => new PostgresIntrospector(any),
    createQueryCompiler: () => new PostgresQueryCompiler(),
  },
});

type Statement = Compilable<unknown> & { toOperationNode(): unknown };
const nodeOf = (statement: Statement) => statement.toOperationNode() as RootOperationNode;
const of = (statement: Statement) => isUnscoped(nodeOf(statement), createQueryId());
const ofRaw = (text: string) => isUnscoped(sql.raw(text).toOperationNode(), createQueryId());

const batches = db.selectFrom('batches').select('number');
const deliveries = db.updateTable('deliveries').set({ managers_told_at: null });

describe('a statement is held to a community', () => {
  it('by a condition on it, whatever else is asked', () => {
    expect(of(batches.where('community_id', '=', 'a'))).toBe(false);
    expect(of(batches.where('batches.community_id', '=', 'a').where('number', 'in', [1, 2]))).toBe(false);
    expect(of(batches.where('community_id', 'in', ['a', 'b']))).toBe(false);
    expect(of(deliveries.where('community_id', '=', 'a').where('about', '=', 'x'))).toBe(false);
    expect(of(db.deleteFrom('drafts').where('community_id', '=', 'a'))).toBe(false);
  });

  it('by what it inserts', () => {
    expect(of(db.insertInto('communities').values({ community_id: 'a', created_at: new Date(0) }))).toBe(
      false,
    );
  });

  it('where a table within it follows one that is', () => {
    const own = batches.where('batches.community_id', '=', 'a');
    const shared = own.where(({ exists, selectFrom }) =>
      exists(
        selectFrom('members')
          .select('member_id')
          .whereRef('members.community_id', '=', 'batches.community_id'),
      ),
    );
    expect(of(shared)).toBe(false);
    expect(of(own.innerJoin('members as m', 'm.community_id', 'batches.community_id'))).toBe(false);
    expect(of(db.selectFrom(own.as('some')).selectAll())).toBe(false);
  });

  it('where it is about no community at all', () => {
    expect(ofRaw('select now()')).toBe(false);
    expect(ofRaw("select nextval('revisions')")).toBe(false);
    expect(ofRaw('select number from batches where community_id = $1')).toBe(false);
  });
});

describe('a statement is not held to a community', () => {
  it('by another condition', () => {
    expect(of(batches)).toBe(true);
    expect(of(batches.where('number', 'in', [1, 2]))).toBe(true);
    expect(of(deliveries.where('managers_told_at', '=', new Date(0)))).toBe(true);
    expect(of(db.deleteFrom('drafts').where('created_at', '<', new Date(0)))).toBe(true);
    expect(of(batches.where('community_id', '!=', 'a'))).toBe(true);
  });

  it('by a condition that need not be met', () => {
    expect(of(batches.where((e) => e.or([e('community_id', '=', 'a'), e('number', '=', 1)])))).toBe(true);
  });

  it('by naming it in another table only, or by tables that only follow each other', () => {
    const both = batches.innerJoin('members as m', 'm.member_id', 'batches.member_id');
    expect(of(both.where('batches.community_id', '=', 'a'))).toBe(true);
    const linked = batches.innerJoin('members as m', 'm.community_id', 'batches.community_id');
    expect(of(linked)).toBe(true);
    expect(of(db.selectFrom(batches.as('some')).selectAll())).toBe(true);
  });

  it('when a table within it is not', () => {
    const own = batches.where('batches.community_id', '=', 'a');
    const leaking = own.where(({ exists, selectFrom }) =>
      exists(
        selectFrom('members').select('member_id').whereRef('members.member_id', '=', 'batches.member_id'),
      ),
    );
    expect(of(leaking)).toBe(true);
    expect(
      of(
        db
          .with('some', (q) => q.selectFrom('deliveries').select('about'))
          .selectFrom('some')
          .selectAll(),
      ),
    ).toBe(true);
  });

  it('by raw text that names a table and no community', () => {
    expect(ofRaw('select number from batches where number = $1')).toBe(true);
    expect(ofRaw('update "near_misses" set managers_told_at = null')).toBe(true);
  });
});
