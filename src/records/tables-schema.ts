/**
 * SQL for the schema that the bot's tables are in: the first in which this user finds them, or else the one that it makes
 * tables in.
 */
export const TABLES_SCHEMA = `coalesce(
  (select nspname from pg_namespace n join pg_class c on c.relnamespace = n.oid
    where c.oid = to_regclass('kysely_migration')),
  current_schema())`;
