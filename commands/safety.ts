import { actionId, button } from '../src/chat/action.js';
import type { Call } from '../src/chat/call.js';
import { command, deed, formOf, type Handler, refuseUnreadable } from '../src/chat/command.js';
import { type Given, parseOptions } from '../src/chat/option.js';
import { choice, words } from '../src/chat/options.js';
import { type Action, type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { newestNearMisses, reportNearMiss } from '../src/records/near-misses.js';
import {
  CAUTIONS,
  type Caution,
  cautionInFull,
  cautionsAbout,
  SAFETY_TOPICS,
  type SafetyTopic,
} from '../src/trade/cautions.js';
import { allSourceLines, sourceLines } from './shared/sources-shown.js';
import { dayWords } from './shared/words.js';

const DESCRIPTION = 'What to be careful about, with sources';

/** The form behind the button asks for these; the deed has them as options. */
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
const MOST_READ = 10;

/** `/safety`: every caution there is, by topic; and where somebody tells of a near miss. */
export function safety(db: Records) {
  const openForm: Handler = {
    who: 'anyone',
    audience: 'only you',
    press: async (_args, fields, call) =>
      fields.report === undefined
        ? formOf(actionId(FORM), 'Report a near miss', REPORT)
        : handInReport(db, fields, call),
  };
  const readReports: Handler = {
    who: 'managers',
    audience: 'only you',
    press: async (_args, _fields, call) => listReports(db, call),
  };
  return command({
    name: 'safety',
    description: DESCRIPTION,
    deeds: deed({
      description: DESCRIPTION,
      audience: 'only you',
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
        const said = topic === undefined ? overview() : explain(topic);
        return { ...said, actions: actionsFor(call) };
      },
    }),
    handlers: { [FORM]: openForm, [READ]: readReports },
  });
}

/** Nobody manages a direct conversation, so nothing can be reported there. */
function actionsFor({ where, member }: Call): readonly Action[] {
  if (where === 'direct') return [];
  return [
    button('Report a near miss', actionId(FORM)),
    ...(member.mayManage ? [button('Read near misses', actionId(READ))] : []),
  ];
}

async function handInReport(db: Records, fields: Given, call: Call): Promise<Reply | Refusal> {
  const read = parseOptions(REPORT, fields);
  return read.ok ? storeReport(db, read.values, call) : refuseUnreadable(read.problems);
}

async function storeReport(
  db: Records,
  { topic, report }: { readonly topic: SafetyTopic | undefined; readonly report: string },
  call: Call,
): Promise<Reply | Refusal> {
  if (call.where === 'direct')
    return refusal('Not from here', 'Report it on the server, so that those who manage it can read it.');
  const { community, member, interaction, now } = call;
  await reportNearMiss(db, { community, member, interaction, topic, report, now });
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

async function listReports(db: Records, call: Call): Promise<Reply> {
  const [reports, zone] = await Promise.all([
    newestNearMisses(db, call.community, MOST_READ),
    communityZone(db, call.community),
  ]);
  return reply({
    title: reports.length === 0 ? 'No near miss was reported' : 'Near misses, the newest first',
    audience: 'only you',
    lines: reports.map(({ topic, report, reportedAt }) => {
      const label = SAFETY_TOPICS.find(({ value }) => value === topic)?.label;
      return `${dayWords(reportedAt, zone)}${label ? `, ${label.toLowerCase()}` : ''}: ${report}`;
    }),
    figures: { nearMisses: reports.length },
  });
}

function overview() {
  return reply({
    title: 'Hot fat, in short',
    audience: 'only you',
    lines: [
      'Good practice from published advice, not law. Your appliance’s manual, your local fire and food-safety authorities, and licensed practice come first.',
      ...SAFETY_TOPICS.map(({ value, label }) => {
        return `${label}: ${mainCaution(value)?.short ?? ''}`;
      }),
      'More on one of them: /safety topic:fire. Something nearly went wrong? /safety report:"what happened"',
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
    lines: cautions.map(cautionInFull),
    sources: allSourceLines(cautions.flatMap(({ sources }) => sources)),
    figures: { cautions: cautions.length },
  });
}
