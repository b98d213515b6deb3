import { command, deed } from '../src/chat/command.js';
import { composeWeekly } from '../src/clockwork/weekly-post.js';
import type { Records } from '../src/records/database.js';

/** `/weekly`: the weekly post, before it goes out. */
export function weekly(db: Records) {
  return command({
    name: 'weekly',
    description: 'The weekly post',
    where: 'server',
    deeds: {
      preview: deed({
        description: 'The weekly post as it would read now; only you see it',
        audience: 'only you',
        options: {},
        async run(_values, call) {
          const { reply } = await composeWeekly(db, call.community, call.now, call.now);
          return { ...reply, audience: 'only you' };
        },
      }),
    },
  });
}
