import { DateTime } from 'luxon';
import { command, subcommand } from '../src/chat/command.js';
import { choice, timeZone, wholeNumber, yesOrNo } from '../src/chat/options.js';
import { refusal, reply } from '../src/chat/reply.js';
import { suggestZones } from '../src/chat/when.js';
import { channelToPostIn, unitSystem } from '../src/kitchen/options.js';
import {
  communitySettings,
  saveWeekly,
  stopWeekly,
  type WeeklySettings,
} from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { countsOddBatches, setCountsOddBatches } from '../src/records/odd-batches.js';
import { nextAppointment } from '../src/weekly/appointments.js';

const DAYS = [
  { value: 'monday', label: 'Monday', iso: 1 },
  { value: 'tuesday', label: 'Tuesday', iso: 2 },
  { value: 'wednesday', label: 'Wednesday', iso: 3 },
  { value: 'thursday', label: 'Thursday', iso: 4 },
  { value: 'friday', label: 'Friday', iso: 5 },
  { value: 'saturday', label: 'Saturday', iso: 6 },
  { value: 'sunday', label: 'Sunday', iso: 7 },
] as const;

const ZONES_SUGGESTED = 25;

/** `/settings`: what those who manage a community decide for it. */
export function settings(db: Records) {
  return command({
    name: 'settings',
    description: 'How the bot behaves in this community',
    who: 'managers',
    where: 'server',
    subcommands: {
      weekly: subcommand({
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
          if (!found) {
            return refusal(
              'No such channel',
              'I cannot see that channel. Choose one that I can see and post in.',
            );
          }
          if (found.missing.length > 0) {
            return refusal(
              `I cannot post in #${found.name}`,
              `Give me these permissions there first: ${found.missing.join(', ')}.`,
            );
          }
          const weekly: WeeklySettings = {
            channel: found.id,
            day: isoDay(day),
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
      }),

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

      'odd-batches': subcommand({
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
          await setCountsOddBatches(db, call.community, count, call.now);
          call.saved(count ? 'Odd batches count' : 'Odd batches are left out');
          return reply({
            title: count ? 'Odd batches count' : 'Odd batches are left out',
            audience: 'only you',
            lines: [oddBatchesWords(count), 'They stay on record and /yield odd lists them either way.'],
            figures: { countsOddBatches: count ? 1 : 0 },
          });
        },
      }),

      show: subcommand({
        description: 'What is set now',
        audience: 'only you',
        options: {},
        async run(_values, call) {
          const { weekly, weeklyApplication, managersUnreachedAt } = await communitySettings(
            db,
            call.community,
          );
          const unreached = unreachedLines(managersUnreachedAt, weekly?.zone ?? 'UTC');
          const count = await countsOddBatches(db, call.community);
          const countsOdd = count ? 1 : 0;
          if (!weekly) {
            return reply({
              title: 'Settings',
              audience: 'only you',
              lines: [
                'Weekly post: not set. Set it with /settings weekly.',
                oddBatchesWords(count),
                ...unreached,
              ],
              figures: { countsOddBatches: countsOdd },
            });
          }
          const channel = await call.platform.channel(call.community, weekly.channel);
          const trouble = channel
            ? channel.missing.length > 0
              ? [`I may not post there; missing: ${channel.missing.join(', ')}.`]
              : []
            : ['I cannot see that channel any more. Choose another with /settings weekly.'];
          return reply({
            title: 'Settings',
            audience: 'only you',
            lines: [
              `Weekly post: ${weeklyWords(weekly, channel?.name ?? 'a channel that is gone')}.`,
              quietWords(weekly.skipsQuiet),
              unitsWords(weekly.units),
              ...(weeklyApplication !== undefined && weeklyApplication !== call.application
                ? [SENT_BY_ANOTHER]
                : []),
              ...trouble,
              oddBatchesWords(count),
              ...unreached,
            ],
            figures: { day: weekly.day, hour: weekly.hour, countsOddBatches: countsOdd },
          });
        },
      }),
    },
  });
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

function isoDay(day: (typeof DAYS)[number]['value']): number {
  const found = DAYS.find(({ value }) => value === day);
  if (!found) throw new RangeError(`no such day: ${day}`);
  return found.iso;
}

function weeklyWords(weekly: WeeklySettings, channelName: string): string {
  const day = DAYS.find(({ iso }) => iso === weekly.day)?.label ?? '';
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
