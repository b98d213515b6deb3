import { demoBatches } from './demo-batches.js';
import type { Session } from './session.js';

interface DemoStage {
  readonly clock: () => Date;
  /** Tells what is going on. */
  readonly write: (text: string) => void;
  readonly dataDir: string;
  sessionOf(
    speaker: { readonly name: string; readonly community: string; readonly mayManage: boolean },
    clock?: () => Date,
    write?: (text: string) => void,
  ): Session;
}

export const DEMO_COMMUNITY = 'Ember Lane Supper Club';
const DAY_MS = 86_400_000;

const walk: readonly { readonly says: string; readonly line: string }[] = [
  {
    says: 'Somebody asks how much water a batch needs.',
    line: '/water fat:"4 lb 8 oz" method:open-pot cut:ground',
  },
  {
    says: 'They cook, weigh, and log the batch.',
    line: '/batch log fat:"4 lb 8 oz" tallow:"2 lb 3 oz" method:open-pot cut:ground water:"15 cups" minutes:180 weighed-as:re-melted taste:clean',
  },
  { says: 'What has everyone’s fat given so far?', line: '/yield pooled' },
  { says: 'Which cut gives more, all else alike?', line: '/yield compare by:cut' },
  { says: 'Which batch would teach the community most?', line: '/yield next' },
  { says: 'The weekly post, as the channel will see it.', line: '/weekly preview' },
];

/** Fills an invented community. False when anything was refused. */
export async function fillDemo(stage: DemoStage): Promise<boolean> {
  const { write, clock } = stage;
  write(`${DEMO_COMMUNITY}, an invented community. Entering ${demoBatches.length} batches…\n\n`);
  for (const { daysAgo, member, line } of demoBatches) {
    const then = new Date(clock().getTime() - daysAgo * DAY_MS);
    if (!(await enter(stage, member, line, () => then))) return false;
  }
  return enter(stage, MANAGER, WEEKLY, clock);
}

const MANAGER = 'Marlow';
const WEEKLY = '/settings weekly channel:#rendering day:sunday hour:18 zone:America/Chicago';

/** Fills the invented community, then walks through the main job aloud. False when anything was refused. */
export async function walkThroughDemo(stage: DemoStage): Promise<boolean> {
  const { write, dataDir } = stage;
  if (!(await fillDemo(stage))) return false;
  const cook = stage.sessionOf({ name: 'Tansy', community: DEMO_COMMUNITY, mayManage: false });
  for (const { says, line } of walk) {
    write(`── ${says}\n> ${line}\n`);
    if ((await cook.answer(line)) !== 'answered') return false;
  }
  write(`To go on by hand: npm start -- --data ${dataDir} --community "${DEMO_COMMUNITY}" --as Tansy\n`);
  return true;
}

/** What is entered is not worth reading unless it is refused. */
async function enter(stage: DemoStage, name: string, line: string, at: () => Date): Promise<boolean> {
  let said = '';
  const speaker = { name, community: DEMO_COMMUNITY, mayManage: name === MANAGER };
  const session = stage.sessionOf(speaker, at, (text) => {
    said += text;
  });
  const isEntered = (await session.answer(line)) === 'answered';
  if (!isEntered) stage.write(`${line}\n${said}`);
  return isEntered;
}
