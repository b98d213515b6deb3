import { z } from 'zod';
import { actionId, button, noArguments, wholeNumberIn } from '../src/chat/action.js';
import { type Call, ifReadable } from '../src/chat/call.js';
import { command, formOf, handler, refuseUnreadable, subcommand } from '../src/chat/command.js';
import { type Given, parseOptions, shorten } from '../src/chat/option.js';
import { choice, words, yesOrNo } from '../src/chat/options.js';
import { type Action, type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { boilingAt } from '../src/cooking/heat/boiling.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { kitOf } from '../src/records/kit.js';
import { type NearMiss, newestNearMisses, reportNearMiss } from '../src/records/near-misses.js';
import { CAUTIONS, cautionsAbout, cautionsInFull } from '../src/safety/cautions.js';
import { shown } from '../src/safety/choose.js';
import { type Cook, forCook } from '../src/safety/local-figures.js';
import { allSourceLines, briefCitation } from '../src/safety/sources.js';
import { SAFETY_TOPICS, type SafetyTopic } from '../src/safety/topics.js';
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
const TOPICS = 'safety.topics';
const MORE = 'safety.more';
const WHY = 'safety.why';
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
  const turnTopics = handler({
    audience: 'only you',
    args: z.tuple([pageIn(pagesOfTopics().length)]),
    press: ([page], _fields, call) => withReports(overview(page), call),
  });
  const turnCautions = handler({
    audience: 'only you',
    args: z.tuple([topicArgument, wholeNumberIn(0, MOST_SKIPPED)]),
    press: async ([topic, page], _fields, call) => {
      const cook = await cookAsking(db, call);
      return withReports(explain(topic, Math.min(page, pagesAbout(topic, cook).length - 1), cook), call);
    },
  });
  const why = handler({
    audience: 'only you',
    args: z.tuple([topicArgument]),
    press: async ([topic], _fields, call) => explainInFull(topic, await cookAsking(db, call)),
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
        details: yesOrNo({ description: 'Everything about the topic at once', required: false }),
      },
      async run({ topic, report, details = false }, call) {
        if (report !== undefined) return storeReport(db, { topic, report }, call);
        if (topic === undefined) return withReports(overview(0), call);
        const cook = await cookAsking(db, call);
        return withReports(details ? explainInFull(topic, cook) : explain(topic, 0, cook), call);
      },
    }),
    handlers: {
      [FORM]: openForm,
      [READ]: readReports,
      [TOPICS]: turnTopics,
      [MORE]: turnCautions,
      [WHY]: why,
    },
  });
}

const topicArgument = z.enum(SAFETY_TOPICS.map(({ value }) => value));
const pageIn = (pages: number) => wholeNumberIn(0, pages - 1);

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
  const [caution] = topic ? cautionsAbout(topic) : [];
  return reply({
    title: 'Thank you for reporting it',
    audience: 'only you',
    lines: [
      'Only those who manage this community can read it, and your name is not shown to them. The weekly post says how many near misses there were, nothing more.',
      caution
        ? `Until then: ${forCook(caution.short)}`
        : 'If anybody was hurt, get medical help first. If something still burns or smokes, call the fire service.',
    ],
    sources: caution ? caution.sources.slice(0, 1).map(briefCitation) : [],
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

/** The buttons of the reply before those for near misses. */
const withReports = (said: Reply, call: Call): Reply => ({
  ...said,
  actions: [...said.actions, ...actionsFor(call)],
});

/** Where this cook’s water boils, if their kit says how high they cook. */
async function cookAsking(db: Records, call: Call): Promise<Cook> {
  const kit = await ifReadable(kitOf(db, call), call);
  const altitudeM = kit?.kitchen.altitudeM;
  return { boilC: altitudeM === undefined ? undefined : boilingAt({ altitudeM }).boilC };
}

const MOST_WORDS = 70;
const wordsIn = (text: string): number => text.split(/\s+/).length;

/** Some things in a row, divided into pages of so many words at most. */
function paged<T>(all: readonly T[], wordsOf: (one: T) => string): readonly (readonly T[])[] {
  const pages: T[][] = [];
  let room = 0;
  for (const one of all) {
    const words = wordsIn(wordsOf(one));
    const last = pages.at(-1);
    if (last === undefined || words > room) pages.push([one]);
    else last.push(one);
    room = (pages.at(-1) === last ? room : MOST_WORDS) - words;
  }
  return pages;
}

type Topic = (typeof SAFETY_TOPICS)[number];
const topicLine = ({ label, headline }: Topic): string => `${label}: ${headline}`;
const pagesOfTopics = () => paged(SAFETY_TOPICS, topicLine);
const pagesAbout = (topic: SafetyTopic, cook: Cook) =>
  paged(cautionsAbout(topic), (caution) => shown(caution, cook).text);

const pageWords = (page: number, pages: number): string => (pages > 1 ? `, ${page + 1} of ${pages}` : '');

function overview(page: number): Reply {
  const pages = pagesOfTopics();
  return reply({
    title: `Hot fat, in short${pageWords(page, pages.length)}`,
    audience: 'only you',
    lines: (pages[page] ?? []).map(topicLine),
    note: 'More on one: /safety topic:fire',
    actions: page + 1 < pages.length ? [button('More topics', actionId(TOPICS, page + 1))] : [],
    figures: { cautions: CAUTIONS.length },
  });
}

const labelOf = (topic: SafetyTopic): string =>
  (SAFETY_TOPICS.find(({ value }) => value === topic)?.label ?? topic).toLowerCase();

/** What to do, and behind a button why. */
function explain(topic: SafetyTopic, page: number, cook: Cook): Reply {
  const pages = pagesAbout(topic, cook);
  const cautions = pages[page] ?? [];
  return reply({
    title: `Take care: ${labelOf(topic)}${pageWords(page, pages.length)}`,
    audience: 'only you',
    lines: cautions.map((caution) => shown(caution, cook).text),
    actions: [
      ...(page + 1 < pages.length ? [button('More', actionId(MORE, topic, page + 1))] : []),
      button('Why, and who says so', actionId(WHY, topic)),
    ],
    figures: { cautions: cautionsAbout(topic).length },
  });
}

function explainInFull(topic: SafetyTopic, cook: Cook): Reply {
  const cautions = cautionsAbout(topic);
  return reply({
    title: `Take care: ${labelOf(topic)}`,
    audience: 'only you',
    lines: cautionsInFull(cautions, cook),
    sources: allSourceLines(cautions.flatMap(({ sources }) => sources)),
    figures: { cautions: cautions.length },
  });
}
