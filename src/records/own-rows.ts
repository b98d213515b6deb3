import { type Expression, type SqlBool, sql } from 'kysely';
import { TERMINAL } from '../chat/call.js';

/**
 * Whether a row is for this bot to send, by the bot that it names. A row from before rows named one goes to whichever bot
 * of Discord asks first, because only Discord was ever sent anything; the terminal takes none of those.
 */
export const isOwn = (named: Expression<string | null>, application: string): Expression<SqlBool> =>
  application === TERMINAL
    ? sql<SqlBool>`${named} = ${application}`
    : sql<SqlBool>`coalesce(${named}, ${application}) = ${application}`;
