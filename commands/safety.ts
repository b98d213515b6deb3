import { z } from 'zod';
import { actionId, button, noArguments, wholeNumberIn } from '../src/chat/action.js';
import type { Call } from '../src/chat/call.js';
import { command, formOf, handler, refuseUnreadable, subcommand } from '../src/chat/command.js';
import { type Given, parseOptions, shorten } from '../src/chat/option.js';
import { choice, words } from '../src/chat/options.js';
import { type Action, type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { type NearMiss, newestNearMisses, reportNearMiss } from '../src/records/near-misses.js';
import {
  CAUTIONS,
  type Caution,
  cautionsAbout,
  cautionsInFull,
  SAFETY_TOPICS,
  type SafetyTopic,
} from '../src/safety/cautions.js';
import { allSourceLines, sourceLines } from '../src/safety/sources.js';
import { dayWords } from '../src/words/moments.js';

const DESCRIPTION = 'What to be careful about, with sources';

/** The form behind the button asks for these; the subcommand has them as options. */
const REPORT = {
  report: words({
    description: 'What nearly went wrong',
    required: true,
    maxLength: 1000,
    example: 'The pot foamed over when I topped it up',
  }),
  topic: choice({ description: 'What it is about', required: false, choices: SAFETY_TOPICS }),
} as const;

const FORM = 'safety.report';
const READ = 'safety.read';
const READ_LABEL = 'Read near misses';
const MOST_AT_ONCE = 20;
const MOST_SKIPPED = 1_000_000;
/** One message holds a little more. */
const MOST_CHARACTERS = 3800;

/** `/safety`: every caution there is, by topic; and where somebody tells of a near miss. */
export function safety(db: Records) {
  const openForm = handler({
    audience: 'only you',
    stores: hasReport,
    args: noArguments,
    fields: REPORT,
    press: (_args, fields, call) =>
      hasReport(fields)
        ? handInReport(db, fields, call)
        : formOf(actionId(FORM), 'Report a near miss', REPORT),
  });
  const readReports = handler({
    audience: 'only you',
    args: z.tuple([wholeNumberIn(0, MOST_SKIPPED).optional()]),
    press: ([skipped = 0], _fields, call) =>
      call.member.mayManage
        ? listReports(db, skipped, call)
        : refusal(
            'Not for you to read',
            `“${READ_LABEL}” is for those who may manage this community. Ask one of them.`,
          ),
  });
  return command({
    name: 'safety',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      audience: 'only you',
      stores: hasReport,
      options: {
        topic: choice({ description: 'What about', required: false, choices: SAFETY_TOPICS }),
        report: words({
          description: 'A near miss to report; only those who manage the community read it',
          required: false,
          maxLength: 1000,
          example: REPORT.report.example,
        }),
      },
      async run({ topic, report }, call) {
        if (report !== undefined) return storeReport(db, { topic, report }, call);
        const said = topic === undefined ? overview(call) : explain(topic);
        return { ...said, actions: actionsFor(call) };
      },
    }),
    handlers: { [FORM]: openForm, [READ]: readReports },
  });
}

const hasReport = (given: Given): boolean => given.report !== undefined;

/** Nobody manages a direct conversation, so nothing can be reported there. */
function actionsFor({ where, member }: Call): readonly Action[] {
  if (where === 'direct') return [];
  return [
    button('Report a near miss', actionId(FORM)),
    ...(member.mayManage ? [button(READ_LABEL, actionId(READ))] : []),
  ];
}

/** A topic that cannot be read must not cost what was typed above it. */
async function handInReport(db: Records, fields: Given, call: Call): Promise<Reply | Refusal> {
  const read = parseOptions(REPORT, fields);
  if (read.ok) return storeReport(db, read.values, call);
  const { topic, ...rest } = fields;
  const without = parseOptions(REPORT, rest);
  if (topic === undefined || !without.ok) return refuseUnreadable(read.problems);
  const stored = await storeReport(db, without.values, call);
  return stored.kind === 'refusal'
    ? stored
    : {
        ...stored,
        lines: [...stored.lines, `It is kept without a topic: “${shorten(topic)}” is none of those known.`],
      };
}

async function storeReport(
  db: Records,
  { topic, report }: { readonly topic: SafetyTopic | undefined; readonly report: string },
  call: Call,
): Promise<Reply | Refusal> {
  if (call.where === 'direct')
    return refusal('Not from here', 'Report it on the server, so that those who manage it can read it.');
  const { community, member, interaction, application, now } = call;
  const stored = await reportNearMiss(db, {
    community,
    member,
    interaction,
    topic,
    report,
    application,
    now,
  });
  if (stored === 'too many')
    return refusal(
      'You have reported several already',
      'So that each gets read, nobody reports more than a few in an hour and in a day. If it cannot wait, tell those who manage this community; if anybody was hurt, get medical help first.',
    );
  call.saved('Your report is kept');
  const caution = topic && mainCaution(topic);
  return reply({
    title: 'Thank you for reporting it',
    audience: 'only you',
    lines: [
      'Only those who manage this community can read it, and your name is not shown to them. The weekly post says how many near misses there were, nothing more.',
      caution
        ? `Until then: ${caution.short}`
        : 'If anybody was hurt, get medical help first. If something still burns or smokes, call the fire service.',
    ],
    sources: caution ? sourceLines(caution.sources) : [],
    figures: { reported: 1 },
  });
}

async function listReports(db: Records, skipped: number, call: Call): Promise<Reply> {
  const [{ reports, all }, zone] = await Promise.all([
    newestNearMisses(db, call.community, { most: MOST_AT_ONCE, skipped }),
    communityZone(db, call.community),
  ]);
  const lines = asManyAsFit(reports.map((report) => reportWords(report, zone)));
  const read = skipped + lines.length;
  const which = all > lines.length && lines.length > 0 ? `${skipped + 1} to ${read} of ${all}, ` : '';
  return reply({
    title: all === 0 ? 'No near miss was reported' : `Near misses, ${which}the newest first`,
    audience: 'only you',
    actions: read < all ? [button('Earlier ones', actionId(READ, read))] : [],
    lines,
    figures: { nearMisses: all },
  });
}

function reportWords({ topic, report, reportedAt }: NearMiss, zone: string): string {
  const label = SAFETY_TOPICS.find(({ value }) => value === topic)?.label;
  return `${dayWords(reportedAt, zone)}${label ? `, ${label.toLowerCase()}` : ''}: ${report}`;
}

/** The first lines that fit into one message, one at the least; a sign in them may take two characters there. */
function asManyAsFit(lines: readonly string[]): readonly string[] {
  let room = MOST_CHARACTERS;
  const fit = lines.findIndex((line) => {
    room -= line.replace(/[^\p{L}\p{N}\s]/gu, '$&$&').length + 1;
    return room < 0;
  });
  return fit < 0 ? lines : lines.slice(0, Math.max(1, fit));
}

function overview({ where }: Call) {
  return reply({
    title: 'Hot fat, in short',
    audience: 'only you',
    lines: [
      'Good practice from published advice, not law. Your appliance’s manual, your local fire and food-safety authorities, and licensed practice come first.',
      ...SAFETY_TOPICS.map(({ value, label }) => {
        return `${label}: ${mainCaution(value)?.short ?? ''}`;
      }),
      `More on one of them: /safety topic:fire.${where === 'direct' ? '' : ' Something nearly went wrong? /safety report:"what happened"'}`,
    ],
    sources: sourceLines(SAFETY_TOPICS.flatMap(({ value }) => mainCaution(value)?.sources ?? [])),
    figures: { cautions: CAUTIONS.length },
  });
}

/** The gravest caution that is about this topic before any other. */
function mainCaution(topic: SafetyTopic): Caution | undefined {
  const cautions = cautionsAbout(topic);
  return cautions.find(({ topics }) => topics[0] === topic) ?? cautions[0];
}

function explain(topic: SafetyTopic) {
  const cautions = cautionsAbout(topic);
  const label = SAFETY_TOPICS.find(({ value }) => value === topic)?.label ?? topic;
  return reply({
    title: `Take care: ${label.toLowerCase()}`,
    audience: 'only you',
    lines: cautionsInFull(cautions),
    sources: allSourceLines(cautions.flatMap(({ sources }) => sources)),
    figures: { cautions: cautions.length },
  });
}
