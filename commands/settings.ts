import { DateTime, Info } from 'luxon';
import type { Call } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import { choice, timeZone, wholeNumber, yesOrNo } from '../src/chat/options.js';
import type { Channel } from '../src/chat/platform.js';
import { type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { suggestZones } from '../src/chat/when.js';
import { channelToPostIn, unitSystem } from '../src/kitchen/options.js';
import {
  type CommunitySettings,
  communitySettings,
  saveWeekly,
  setCountsOddBatches,
  stopWeekly,
  type WeeklySettings,
} from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { nextAppointment } from '../src/weekly/appointments.js';

/** Monday first, as in ISO 8601. */
const DAYS = Info.weekdays('long', { locale: 'en' }).map((label) => ({ value: label.toLowerCase(), label }));

const ZONES_SUGGESTED = 25;

/** `/settings`: what those who manage a community decide for it. */
export function settings(db: Records) {
  return command({
    name: 'settings',
    description: 'How the bot behaves in this community',
    who: 'managers',
    where: 'server',
    subcommands: {
      weekly: weeklySubcommand(db),
      'no-weekly': subcommand({
        description: 'Stop the weekly post',
        audience: 'only you',
        stores: true,
        options: {},
        async run(_values, call) {
          await stopWeekly(db, call.community);
          call.saved('The weekly post is stopped');
          return reply({
            title: 'No more weekly posts',
            audience: 'only you',
            lines: ['Start them again with /settings weekly.'],
          });
        },
      }),
      'odd-batches': oddBatchesSubcommand(db),
      show: subcommand({
        description: 'What is set now',
        audience: 'only you',
        options: {},
        run: (_values, call) => show(db, call),
      }),
    },
  });
}

function weeklySubcommand(db: Records) {
  return subcommand({
    description: 'When and where the weekly post goes out',
    audience: 'only you',
    stores: true,
    options: {
      channel: channelToPostIn(),
      day: choice({ description: 'Day of the week', required: true, choices: DAYS }),
      hour: wholeNumber({
        description: 'Hour of the day, 0 to 23, local time',
        required: true,
        least: 0,
        most: 23,
        example: '18',
      }),
      zone: timeZone({ description: 'Time zone, by the name of a large city', required: true }),
      'skip-quiet': yesOrNo({ description: 'No post in a week without a batch', required: false }),
      units: unitSystem('the post'),
    },
    async run({ channel, day, hour, zone, 'skip-quiet': skipsQuiet = false, units }, call) {
      const found = await call.platform.channel(call.community, channel);
      if (!found)
        return refusal(
          'No such channel',
          'I cannot see that channel. Choose one that I can see and post in.',
        );
      if (found.missing.length > 0) return refuseMissing(found);
      const weekly: WeeklySettings = {
        channel: found.id,
        day: 1 + DAYS.findIndex(({ value }) => value === day),
        hour,
        zone,
        skipsQuiet,
        units,
      };
      const first = nextAppointment(weekly, call.now);
      await saveWeekly(db, call.community, weekly, call.application, first.at, call.now);
      call.saved('The weekly post is set');
      return reply({
        title: 'The weekly post is set',
        audience: 'only you',
        lines: [
          `${weeklyWords(weekly, found.name)}.`,
          quietWords(skipsQuiet),
          unitsWords(units),
          `The first one: ${momentWords(first.at, weekly.zone)}. See it beforehand with /weekly preview.`,
        ],
        figures: { day: weekly.day, hour: weekly.hour, firstPostMs: first.at.getTime() },
      });
    },
    suggest: async (option, typed) =>
      option === 'zone'
        ? suggestZones(typed, ZONES_SUGGESTED).map((name) => ({ value: name, label: name }))
        : [],
  });
}

/** Of a channel that the weekly post may not go to yet. */
export const refuseMissing = ({ name, missing }: Channel): Refusal =>
  refusal(`I cannot post in #${name}`, `Give me these permissions there first: ${missing.join(', ')}.`);

function oddBatchesSubcommand(db: Records) {
  return subcommand({
    description: 'Whether batches that look like mistakes count in the figures',
    audience: 'only you',
    stores: true,
    options: {
      count: yesOrNo({
        description: 'Count them; they are shown by /yield odd either way',
        required: true,
      }),
    },
    async run({ count }, call) {
      const title = count ? 'Odd batches count' : 'Odd batches are left out';
      await setCountsOddBatches(db, call.community, count, call.now);
      call.saved(title);
      return reply({
        title,
        audience: 'only you',
        lines: [oddBatchesWords(count), 'They stay on record and /yield odd lists them either way.'],
        figures: { countsOddBatches: count ? 1 : 0 },
      });
    },
  });
}

async function show(db: Records, call: Call): Promise<Reply> {
  const settings = await communitySettings(db, call.community);
  const { weekly, countsOddBatches } = settings;
  return reply({
    title: 'Settings',
    audience: 'only you',
    lines: [
      ...(weekly
        ? await weeklyLines(weekly, settings, call)
        : ['Weekly post: not set. Set it with /settings weekly.']),
      oddBatchesWords(countsOddBatches),
      ...unreachedLines(settings.managersUnreachedAt, weekly?.zone ?? 'UTC'),
    ],
    figures: {
      ...(weekly && { day: weekly.day, hour: weekly.hour }),
      countsOddBatches: countsOddBatches ? 1 : 0,
    },
  });
}

async function weeklyLines(
  weekly: WeeklySettings,
  { weeklyApplication }: CommunitySettings,
  { platform, community, application }: Call,
): Promise<readonly string[]> {
  const channel = await platform.channel(community, weekly.channel);
  const isAnothers = weeklyApplication !== undefined && weeklyApplication !== application;
  return [
    `Weekly post: ${weeklyWords(weekly, channel?.name ?? 'a channel that is gone')}.`,
    quietWords(weekly.skipsQuiet),
    unitsWords(weekly.units),
    ...(isAnothers ? [SENT_BY_ANOTHER] : []),
    ...troubleLines(channel),
  ];
}

function troubleLines(channel: Channel | undefined): readonly string[] {
  if (!channel) return ['I cannot see that channel any more. Choose another with /settings weekly.'];
  return channel.missing.length > 0 ? [`I may not post there; missing: ${channel.missing.join(', ')}.`] : [];
}

const SENT_BY_ANOTHER =
  'Another bot that shares these records sends it. To have it from here, set it again with /settings weekly.';

const unreachedLines = (at: Date | undefined, zone: string): readonly string[] =>
  at === undefined
    ? []
    : [
        `There was something to tell those who manage this community (${momentWords(at, zone)}), and nobody could be reached: neither the owner by direct message nor the channel for the server’s own messages. Open one of the two to me.`,
      ];

const oddBatchesWords = (count: boolean): string =>
  count
    ? 'Odd batches: counted in what /yield says, and named there.'
    : 'Odd batches: left out of what /yield says, and named there.';

function weeklyWords(weekly: WeeklySettings, channelName: string): string {
  const day = DAYS[weekly.day - 1]?.label ?? '';
  return `${day}s at ${String(weekly.hour).padStart(2, '0')}:00 in #${channelName}, ${weekly.zone} time`;
}

const quietWords = (skipsQuiet: boolean): string =>
  skipsQuiet ? 'A week without a batch has no post.' : 'A week without a batch has a short one.';

function unitsWords(units: WeeklySettings['units']): string {
  if (units === undefined) return 'In both US and metric units.';
  return units === 'us' ? 'In US units.' : 'In metric units.';
}

const momentWords = (at: Date, zone: string): string =>
  DateTime.fromJSDate(at, { zone }).toFormat('cccc, d LLLL yyyy, HH:mm');
