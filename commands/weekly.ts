import { DateTime } from 'luxon';
import { z } from 'zod';
import { numberIn } from '../src/chat/action.js';
import { type Call, ifReadable } from '../src/chat/call.js';
import { command, handler, subcommand } from '../src/chat/command.js';
import { yesOrNo } from '../src/chat/options.js';
import { refusal, reply } from '../src/chat/reply.js';
import { LEAST_FAT_G } from '../src/kitchen/options.js';
import { communitySettings, communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { newestWeekly, type WeeklyRow } from '../src/records/deliveries.js';
import { countTakers, takeOn } from '../src/records/taken-on.js';
import { requestWeekly } from '../src/weekly/on-request.js';
import { type Compose, TAKE_ON } from '../src/weekly/post.js';
import { countWords } from '../src/words/lists.js';
import { CUTS, type Cut, METHODS, type Method } from '../src/words/methods.js';
import { dayWords } from '../src/words/moments.js';
import { planFor } from './plan.js';
import { refuseMissing } from './settings.js';

const MOST_PAST = 10;
/** More than the weekly post asks of anybody. */
const MOST_TAKEN_ON_G = 100_000;
/** Those who took a batch on longer ago are not counted any more. */
const TAKERS_COUNT_MS = 28 * 86_400_000;

/** `/weekly`: the weekly post, before it goes out, now, and those that went out. */
export function weekly(db: Records, compose: Compose) {
  return command({
    name: 'weekly',
    description: 'The weekly post',
    where: 'server',
    subcommands: {
      preview: subcommand({
        description: 'The weekly post as it would read now; only you see it',
        audience: 'only you',
        work: 'picture',
        options: {},
        async run(_values, call) {
          // What was logged at this very moment belongs to it.
          const until = new Date(call.now.getTime() + 1);
          const { reply } = await compose(call.community, until, call.now);
          return { ...reply, audience: 'only you' };
        },
      }),
      post: postSubcommand(db),
      past: pastSubcommand(db),
    },
    handlers: {
      [TAKE_ON]: handler({
        audience: 'only you',
        stores: true,
        work: 'long',
        args: z.tuple([methodIn, cutIn, numberIn(LEAST_FAT_G, MOST_TAKEN_ON_G)]),
        press: ([method, cut, fatG], _fields, call) => take(db, { method, cut, fatG }, call),
      }),
    },
  });
}

function postSubcommand(db: Records) {
  return subcommand({
    description:
      'Send the weekly post now, or one that could not be sent; for those who manage the community',
    audience: 'only you',
    options: { again: yesOrNo({ description: 'Send this week’s a second time', required: false }) },
    async run({ again = false }, call) {
      if (!(await maySend(call)))
        return refusal('Not for you', 'Only those who manage this community send the weekly post.');
      const { weekly: settings } = await communitySettings(db, call.community);
      const channel = settings && (await call.platform.channel(call.community, settings.channel));
      if (settings && !channel)
        return refusal('No such channel', 'I cannot see its channel. Choose another with /settings weekly.');
      if (channel && channel.missing.length > 0) return refuseMissing(channel);
      const requested = await requestWeekly(db, call, again);
      switch (requested.kind) {
        case 'not-set':
          return refusal('No weekly post is set', 'Say where and when first: /settings weekly.');
        case 'already-sent':
          return refusal(
            'This week’s post is out already',
            `${outWords(requested.post, settings?.zone ?? 'UTC', call)} To send it a second time: /weekly post again:yes.`,
          );
        case 'on-its-way':
          call.saved('The weekly post is on its way');
          return reply({
            title: requested.kept ? 'The kept post is on its way' : 'The weekly post is on its way',
            audience: 'only you',
            lines: [
              `It comes to #${channel?.name ?? ''} ${call.platform.postsWait ?? 'within two minutes'}.`,
            ],
          });
      }
    },
  });
}

/** Who may decide about the weekly post may send it, also where /settings was opened to them by the place itself. */
const maySend = async ({ member, platform, community }: Call): Promise<boolean> =>
  member.mayManage || (await platform.isOpenedTo?.('settings', community, member.id)) === true;

function pastSubcommand(db: Records) {
  return subcommand({
    description: 'The weekly posts that went out',
    audience: 'only you',
    options: {},
    async run(_values, call) {
      const [rows, zone] = await Promise.all([
        newestWeekly(db, call.community, 5 * MOST_PAST),
        communityZone(db, call.community),
      ]);
      const sent = rows.filter(({ state }) => state === 'sent').slice(0, MOST_PAST);
      return reply({
        title: sent.length === 0 ? 'No weekly post has gone out yet' : 'Weekly posts, the newest first',
        audience: 'only you',
        lines:
          sent.length === 0
            ? ['See what it would say with /weekly preview.']
            : sent.map(
                (row) =>
                  `${dayWords(row.sentAt ?? row.dueAt, zone)}. ${linkOf(row, call) ?? outWords(row, zone, call)}`,
              ),
        figures: { posts: sent.length },
      });
    },
  });
}

const linkOf = ({ channel, message }: WeeklyRow, call: Call): string | undefined =>
  message === null ? undefined : call.platform.messageLink(call.community, channel, message);

function outWords(row: WeeklyRow, zone: string, call: Call): string {
  const link = linkOf(row, call);
  const hour = DateTime.fromJSDate(row.sentAt ?? row.dueAt, { zone }).toFormat('HH:mm');
  return link === undefined ? `It went out at ${hour}, ${zone} time.` : `It is here: ${link}.`;
}

interface TakenBatch {
  readonly method: Method;
  readonly cut: Cut;
  readonly fatG: number;
}

const methodIn = z.enum(METHODS.map(({ value }) => value));
const cutIn = z.enum(CUTS.map(({ value }) => value));

/** Records that this person will cook the batch, and plans it for them. */
async function take(db: Records, { method, cut, fatG }: TakenBatch, call: Call) {
  const { community, member, now } = call;
  const isNew = await takeOn(db, { community, member, method, cut, fatG, now });
  call.saved('It is noted that you take this on');
  const since = new Date(now.getTime() - TAKERS_COUNT_MS);
  const takers = await ifReadable(countTakers(db, community, { method, cut, fatG }, since), call);
  const planned = await ifReadable(planFor(db, { fat: fatG, method, cut }, call), call);
  const thanks = takenOnWords(isNew, (takers ?? 1) - 1);
  if (planned?.kind === 'reply')
    return { ...planned, audience: 'only you' as const, lines: [thanks, ...planned.lines] };
  const why =
    planned?.kind === 'refusal'
      ? `${planned.title}: ${planned.text}`
      : `The plan could not be made just now: /plan fat:"${fatG} g" method:${method} cut:${cut}`;
  return reply({ title: 'It is noted that you take this on', audience: 'only you', lines: [thanks, why] });
}

function takenOnWords(isNew: boolean, others: number): string {
  const alone =
    others <= 0
      ? ''
      : ` ${countWords(others, 'other cook has', 'other cooks have')} taken it on too, which helps.`;
  return `${isNew ? 'Thank you, it is noted that you take this on.' : 'You had taken this on already.'}${alone} Log it with /batch log, however it turns out.`;
}
