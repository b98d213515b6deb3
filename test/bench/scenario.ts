/**
 * Everything that can go wrong with the database and with Discord, while people use the bot:
 * `npm run bench -- scenario [rounds] [first seed]`. The exit status is 1 when anybody was told something that is not so, was
 * left without an answer, or got one twice; when a weekly post was missing or came twice; when a process did not end well.
 */
import { scenario, type Told } from '../support/scenario/scenario.js';
import { openTroubledPostgres } from '../support/troubled-postgres.js';

const ROUNDS = Number(process.argv[2] ?? 5);
const FIRST_SEED = Number(process.argv[3] ?? 1);

const postgres = await openTroubledPostgres();
const told: Told[] = [];
try {
  for (let round = 0; round < ROUNDS; round++) {
    const start = performance.now();
    const one = await scenario(postgres, FIRST_SEED + round);
    told.push(one);
    const seconds = ((performance.now() - start) / 1000).toFixed(0);
    console.log(`seed ${FIRST_SEED + round}: ${one.wrongs.length} wrong, ${seconds} s`);
    for (const wrong of one.wrongs) console.log(`  ${wrong}`);
  }
} finally {
  await postgres.close();
}
const rows = told.flatMap((one) => one.rows);
const names = [...new Set(rows.map(({ trouble }) => trouble))];
const sum = (name: string, of: (row: Told['rows'][number]) => number | undefined): number =>
  rows.filter(({ trouble }) => trouble === name).reduce((total, row) => total + (of(row) ?? 0), 0);
console.table(
  Object.fromEntries(
    names.map((name) => [
      name,
      {
        times: sum(name, ({ times }) => times),
        asked: sum(name, ({ asked }) => asked),
        answers: sum(name, ({ answered }) => answered),
        refusals: sum(name, ({ refused }) => refused),
        'not sure': sum(name, ({ unsure }) => unsure),
        'cut off': sum(name, ({ cutOff }) => cutOff),
        late: sum(name, ({ late }) => late),
        lost: sum(name, ({ lost }) => lost),
        doubled: sum(name, ({ doubled }) => doubled),
        untrue: sum(name, ({ untrue }) => untrue),
      },
    ]),
  ),
);
if (told.some(({ wrongs }) => wrongs.length > 0)) process.exitCode = 1;
