/**
 * Whether what members save on Discord is there, and there once, when the bot is killed with kill -9 again and again:
 * `npm run bench -- kill-rounds [rounds] [seed]`. Draws docs/kill-rounds.png. The exit status is 1 when anything was lost,
 * doubled or told wrongly.
 */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { killRoundsPicture } from '../support/kill-rounds/picture.js';
import { killRounds } from '../support/kill-rounds/rounds.js';
import { isAllRight, type Tally } from '../support/kill-rounds/tally.js';

const ROUNDS = Number(process.argv[2] ?? 200);
const SEED = Number(process.argv[3] ?? 1);
const PICTURE = fileURLToPath(new URL('../../docs/kill-rounds.png', import.meta.url));

function tableOf({ wrong, ...tally }: Tally) {
  return {
    'times that something was sent': tally.sent,
    'answer: it is saved': tally.acknowledged,
    'things to be saved': tally.sent - tally.repeated,
    stored: tally.stored,
    'stored, and killed before the answer': tally.unheard,
    'sent again by a person': tally.repeated,
    'of these stored before, and answered': tally.repeatedThoughStored,
    '… with the question whether it is a twin': tally.askedAsTwins,
    '… that it is saved already': tally.toldSavedBefore,
    '… with the kit, which is the same': tally.savedOverItself,
    'LOST: said to be saved and not there': wrong.lost,
    'TWICE under one request': wrong.twiceByOneRequest,
    'TWICE though wanted once': wrong.doubled,
    'stored though the answer said nothing was saved': wrong.storedThoughDenied,
    'sent again and taken for new though stored': wrong.unrecognised,
    'stored by halves': wrong.half,
    'gaps in the numbers, or repeats': wrong.numberGaps,
    'answers that say neither': wrong.unclearAnswers,
  };
}

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-kills-'));
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const start = performance.now();
  const { tallies, violations, kills } = await killRounds(db, postgres.connectionString, {
    rounds: ROUNDS,
    seed: SEED,
    onRound: (tally) => {
      const { sent, acknowledged, unheard, wrong } = tally;
      const line = `${sent} sent, ${acknowledged} acknowledged, ${unheard} stored unheard`;
      console.log(isAllRight(tally) ? line : `${line}, WRONG: ${JSON.stringify(wrong)}`);
    },
  });
  const last = tallies.at(-1);
  if (last === undefined) throw new Error('there was no round');
  console.table({
    'kills before anything was stored': kills.before,
    'kills in between': kills.between,
    'kills after all was answered': kills.after,
    ...tableOf(last),
    'refused by the stand-in': violations.length,
  });
  console.log(`seed ${SEED}, ${((performance.now() - start) / 1000).toFixed(0)} s`);
  for (const violation of violations) console.log(`  ${violation}`);
  // In the calm at the end everything was sent again that was not known to be saved.
  const isComplete = last.stored === last.sent - last.repeated;
  if (!isAllRight(last) || !isComplete || violations.length > 0) process.exitCode = 1;
  const picture = await killRoundsPicture(tallies);
  await writeFile(PICTURE, picture.png);
  console.log(`docs/kill-rounds.png: ${picture.alt}`);
  await db.destroy();
  await postgres.stop();
} finally {
  await rm(dataDir, { recursive: true, force: true });
}
