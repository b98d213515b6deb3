import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allCommands } from '../../commands/index.js';
import { readActionId } from '../../src/chat/action.js';
import { type Answer, subcommandsOf } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { quoteIfNeeded } from '../../src/chat/option.js';
import { readLine } from '../../src/console/line.js';
import { openRecords } from '../../src/records/database.js';
import { storeBatches } from '../support/stored-batches.js';
import { anyChannel, openTalk, speak, type Talk } from '../support/talk.js';
import { type Cut, type CutWhen, wireTo } from '../support/wire.js';

/** Something that saves: what is said before it, what is said, and what the answer says of it. */
interface Saving {
  readonly before?: readonly string[];
  /** Without it the first button of the last answer is pressed. */
  readonly line?: string;
  readonly says: RegExp;
  /** It is on record to be sent, which nobody calls saving: that nothing was saved is not said. */
  readonly isSent?: true;
}

const LOG = '/batch log fat:2kg tallow:900g method:oven cut:ground';
const WEEKLY = '/settings weekly channel:#rendering day:sunday hour:18 zone:auckland';

const OPEN = '/tasting open kind:triangle compare:"one wash, two washes" tasters:2';
const TASTE = '/tasting taste number:1';
const CLOSE = '/tasting close number:1 anyway:yes';

/** Every command and button that saves something. */
const SAVES: Readonly<Record<string, Saving>> = {
  'batch log': { line: `${LOG} date:yesterday taste:clean note:second`, says: /Batch 2/ },
  'batch correct': {
    line: '/batch correct number:1 tallow:800g date:yesterday',
    says: /Batch 1 is corrected/,
  },
  'batch remove': { line: '/batch remove number:1', says: /Batch 1 is removed/ },
  'press batch.keep': { before: ['/batch log fat:1kg tallow:800g method:oven cut:ground'], says: /Batch 2/ },
  'press batch.another': { before: [LOG], says: /Batch 2/ },
  'press batch.correct': { line: 'press:v1|batch.correct|1 tallow:"800 g"', says: /Batch 1 is corrected/ },
  'kit add': {
    line: '/kit add vessel:"stock pot" capacity:"12 qt" altitude:"5280 ft"',
    says: /Your kit/,
  },
  'kit remove': {
    before: ['/kit add vessel:"stock pot" capacity:"12 qt" altitude:"5280 ft"'],
    line: '/kit remove what:altitude',
    says: /Your kit/,
  },
  safety: { line: '/safety report:"It foamed over" topic:fire', says: /reporting it/ },
  'press safety.report': { line: 'press:v1|safety.report report:"It foamed over"', says: /reporting it/ },
  'tasting open': { line: OPEN, says: /Tasting 1/ },
  'tasting serve': { before: [OPEN], line: '/tasting serve number:1', says: /You serve tasting 1/ },
  'press tasting.serve': { before: [OPEN], line: 'press:v1|tasting.serve|1', says: /You serve tasting 1/ },
  'tasting taste': { before: [OPEN], line: TASTE, says: /[Ss]eat 1/ },
  'press tasting.taste': { before: [OPEN], says: /[Ss]eat 1/ },
  'press tasting.answer': { before: [OPEN, TASTE], says: /Your answer/ },
  'tasting close': { before: [OPEN], line: CLOSE, says: /[Cc]losed/ },
  'press tasting.close': { before: [OPEN], line: 'press:v1|tasting.close|1|now', says: /[Cc]losed/ },
  'settings weekly': { line: WEEKLY, says: /weekly post is set/ },
  'settings no-weekly': { before: [WEEKLY], line: '/settings no-weekly', says: /No more weekly posts/ },
  'settings odd-batches': { line: '/settings odd-batches count:no', says: /Odd batches are left out/ },
  'weekly post': { before: [WEEKLY], line: '/weekly post', says: /on its way/, isSent: true },
  'press weekly.take-on': { line: 'press:v1|weekly.take-on|oven|ground|2000', says: /you take this on/ },
};

/** Every command and button that saves nothing but what a button needs. */
const READS: readonly string[] = [
  ...['water', 'plan', 'blend butter', 'blend salted', 'smoke', 'help', 'kit list', 'settings show'],
  ...['tasting list', 'tasting sheet', 'tasting result', 'press tasting.sheet', 'press tasting.details'],
  ...['batch list', 'batch show', 'weekly preview', 'weekly past'],
  ...['now', 'fire', 'burn', 'keep', 'trouble', 'buy'],
  ...['press now.tell', 'press now.more', 'press now.stood'],
  ...['press safety.topics', 'press safety.more', 'press safety.why'],
  ...['yield pooled', 'yield compare', 'yield forecast', 'yield mine', 'yield next', 'yield odd'],
  ...['press water.working', 'press plan.working', 'press smoke.working', 'press yield.compare-working'],
  ...[
    'press blend-butter.working',
    'press blend-salted.working',
    'press safety.read',
    'press batch.again',
    'press batch.same',
  ],
];

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const TABLES = [
  'communities',
  'members',
  'batches',
  'batch_changes',
  'kitchens',
  'vessels',
  'deliveries',
  'near_misses',
  'taken_on',
  'tastings',
  'tasting_servings',
  'tasting_answers',
] as const;

/** What is another each time, though the same was done: drawn by chance, or counted by the community. */
const DIFFERS = ['community_id', 'revision', 'nonce', 'cups', 'picked'];

/** All that is stored of a community, save drafts, and what differs between communities in which the same was done. */
async function storedIn(community: string): Promise<readonly string[]> {
  const tables = TABLES.map(async (table) => {
    const rows = await talk.db.selectFrom(table).selectAll().where('community_id', '=', community).execute();
    return rows.map((row) =>
      JSON.stringify([
        table,
        Object.entries(row).map(([name, value]) => [name, DIFFERS.includes(name) ? value !== null : value]),
      ]),
    );
  });
  return (await Promise.all(tables)).flat().sort();
}

let communities = 0;
const losing = { ...anyChannel, losesForms: true };

/** Does all that comes before something is saved in a community of its own, and says it, with a cut or without. */
async function say({ before = [], line }: Saving, cut?: Cut) {
  const community = `community ${++communities}`;
  const speaking = (interaction: string) => ({ community, admin: true, interaction, platform: losing });
  let press = '';
  for (const [at, one] of [LOG, ...before].entries()) {
    const reply = await talk.ask(one, speaking(`before ${at}`));
    press = `press:"${reply.actions[0]?.id}"`;
  }
  const former = await storedIn(community);
  // A way of its own: what fails first is answered while statements beside it are still to come.
  const wire = await wireTo(talk.connectionString);
  const wired = openRecords(wire.connectionString, () => {});
  wire.listen(cut);
  const conversation = converse(allCommands(wired), () => {});
  const answer = await speak(conversation, line ?? press, speaking('the one'));
  const asked = [...wire.statements];
  await wire.close();
  await wired.destroy();
  return { answer, former, stored: await storedIn(community), asked };
}

const wordsOf = (answer: Answer): string => {
  if (answer.kind === 'form') return answer.title;
  const lines = answer.kind === 'reply' ? [...answer.lines, answer.saved ?? ''] : [answer.text];
  return [answer.title, ...lines].join('\n');
};

/** The statement after which it is stored for good: the commit, or the only change. */
function finalIn(asked: readonly string[]): number {
  const commits = asked.flatMap((text, at) => (text === 'commit' ? [at] : []));
  const changes = asked.flatMap((text, at) => (/^(insert|update|delete)/.test(text) ? [at] : []));
  const [final, another] = commits.length > 0 ? commits : changes;
  expect(another, 'one and only one').toBeUndefined();
  return final ?? expect.fail('nothing was changed');
}

/** Every subcommand and handler by the names of the rows. */
const everyOne = () =>
  talk.conversation.commands.flatMap((command) => [
    ...subcommandsOf(command).map(({ path, subcommand }) => ({
      name: path.join(' '),
      stores: subcommand.stores,
    })),
    ...Object.entries(command.handlers).map(([name, { stores }]) => ({ name: `press ${name}`, stores })),
  ]);

/** The options or fields in a line. */
function givenIn(line: string) {
  const read = readLine(line);
  if (!read.ok) throw new Error(read.problem);
  return read.request.kind === 'command' ? read.request.given : read.request.fields;
}

describe('every command and button', () => {
  it('is known either to save something or not to', () => {
    const names = everyOne().map(({ name }) => name);
    expect([...Object.keys(SAVES), ...READS].sort()).toEqual(names.sort());
  });

  it('is declared to store something where it does, and nowhere else', () => {
    const declared = everyOne().filter(({ name, stores }) =>
      stores(givenIn(SAVES[name]?.line ?? '/nothing')),
    );
    const storing = Object.keys(SAVES).filter((name) => !SAVES[name]?.isSent);
    expect(declared.map(({ name }) => name).sort()).toEqual(storing.sort());
  });

  it('saves nothing where it is not known to', async () => {
    const community = `community ${++communities}`;
    const speaking = { community, admin: true, platform: losing };
    const batches = Array.from({ length: 24 }, (_, at) => ({
      member: `Cook ${at % 4}`,
      method: at % 2 === 0 ? 'oven' : 'open-pot',
      fatG: 2000 + 10 * at,
      tallowG: 850 + 13 * ((7 * at) % 11),
      minutes: 180 + at,
    }));
    await storeBatches(talk.db, community, batches);
    await talk.ask(LOG, speaking);
    await talk.ask(OPEN, speaking);
    const seat = await talk.ask(TASTE, speaking);
    await talk.ask(`press:"${seat.actions[0]?.id}"`, speaking);
    await talk.ask(CLOSE, speaking);
    const lines = talk.conversation.commands
      .flatMap((command) => subcommandsOf(command))
      .filter(({ path }) => READS.includes(path.join(' ')))
      .flatMap(({ path, subcommand }) => {
        const options = Object.entries(subcommand.options).map(
          ([name, option]) => `${name}:${quoteIfNeeded(option.example)}`,
        );
        const needed = Object.entries(subcommand.options)
          .filter(([, option]) => option.required)
          .map(([name, option]) => `${name}:${quoteIfNeeded(option.example)}`);
        return [needed, options].map((given) => `/${[...path, ...given].join(' ')}`);
      });
    // A batch logged again is asked about, a form that is refused brings the button that opens it again.
    const others = [
      ...['/plan fat:2kg by:saturday', '/blend butter tallow:1kg', '/yield compare by:method', '/safety'],
      ...['/now what:"stood out"', '/safety topic:fire', '/safety topic:storage'],
      '/tasting result number:1',
      LOG,
      'press:v1|batch.correct|1 tallow:nonsense',
    ];
    const pressed = new Set<string>();
    const former = await storedIn(community);
    for (const line of [...lines, ...others]) {
      const answer = await speak(talk.conversation, line, speaking);
      for (const { id } of 'actions' in answer ? answer.actions : []) {
        const name = `press ${readActionId(id)?.name}`;
        if (!READS.includes(name)) continue;
        pressed.add(name);
        await speak(talk.conversation, `press:"${id}"`, speaking);
      }
    }
    expect(await storedIn(community)).toEqual(former);
    expect([...pressed].sort()).toEqual(READS.filter((name) => name.startsWith('press')).sort());
  });
});

describe.each(Object.entries(SAVES))('/%s', (_name, saving) => {
  it('says that nothing was saved, or that it is not sure, where the database is lost before it is stored', async () => {
    const clean = await say(saving);
    expect(clean.answer.kind).toBe('reply');
    expect(clean.stored).not.toEqual(clean.former);
    const final = finalIn(clean.asked);
    for (let at = 0; at <= final; at++) {
      for (const when of ['before', 'after'] satisfies CutWhen[]) {
        const { answer, former, stored, asked } = await say(saving, { at, when });
        const what = `${asked[at]}, cut ${when}`;
        expect(answer.kind, what).toBe('fault');
        if (at < final) {
          expect(wordsOf(answer).includes('Nothing was saved'), what).toBe(!saving.isSent);
          expect(wordsOf(answer), what).not.toMatch(saving.says);
          expect(stored, what).toEqual(former);
        } else {
          expect(wordsOf(answer), what).toContain('It is not sure that this was saved');
          expect(stored, what).toEqual(when === 'before' ? former : clean.stored);
        }
      }
    }
  });

  it('says what was saved whatever is lost after it was stored, and has stored it once', async () => {
    const clean = await say(saving);
    expect(wordsOf(clean.answer)).toMatch(saving.says);
    expect(clean.answer.kind === 'reply' && clean.answer.saved).toMatch(/\w+/);
    const first = finalIn(clean.asked) + 1;
    for (let at = first; at < clean.asked.length; at++) {
      for (const forGood of [false, true]) {
        const { answer, stored, asked } = await say(saving, { at, when: 'before', forGood });
        const what = `${asked[at]}, cut${forGood ? ' for good' : ''}`;
        expect(answer.kind, what).toBe('reply');
        expect(wordsOf(answer), what).toMatch(saving.says);
        expect(wordsOf(answer), what).not.toContain('Nothing was saved');
        expect(stored, what).toEqual(clean.stored);
      }
    }
  });
});
