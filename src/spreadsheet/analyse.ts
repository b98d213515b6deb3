import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Reply } from '../chat/reply.js';
import { IMPOSSIBLE_YIELD } from '../cooking/blends/tallow.js';
import { batchModel } from '../findings/community-model.js';
import { describeComparison } from '../findings/compare.js';
import { describePooled } from '../findings/pooled.js';
import { drawnHere } from '../pictures/pictures.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { batchDesign, covariateRanges, observationOf } from '../statistics/model/batch-design.js';
import type { Observation } from '../statistics/model/design.js';
import { memberSums } from '../statistics/model/member-sums.js';
import { memberTotals, modelSumsWith } from '../statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../statistics/model/term-choice.js';
import { membersByLevel } from '../statistics/questions/level-summaries.js';
import { type OddBatch, oddBatches } from '../statistics/questions/odd-batches.js';
import { pooledYield } from '../statistics/questions/pooled-yield.js';
import { typicalYield } from '../statistics/questions/typical-cook.js';
import { percentWords } from '../words/yield-words.js';
import { BATCH_COLUMNS, type NameOf, type NumberedBy, readBatchCsv, type WrongLine } from './batch-csv.js';
import { type NumberedBatch, type Query, referenceReport } from './reference-report.js';

export interface AnalyseOptions {
  /** One is analysed; another is refused rather than passed over. */
  readonly files: readonly string[];
  readonly json: boolean;
  /** Use the good lines where others are wrong. */
  readonly skipBad: boolean;
  readonly write: (text: string) => void;
  /** Tells whoever waits for a large file what is going on. */
  readonly note: (text: string) => void;
  /** A reply as a person reads it, its picture saved. */
  readonly print: (reply: Reply) => Promise<string>;
}

/** Levels that come first, in this order; others follow in alphabetical order. */
const FIRST_METHODS = [
  'open pot wet',
  'pressure cooker wet',
  'slow cooker dry-ish',
  'stovetop dry',
  'smoker dry',
  'oven dry',
];
const FIRST_CUTS = ['ground', 'minced', 'cubed'];

/** Batches that are predicted for a cook not seen before, where a file names its methods like this. */
const QUERIES: readonly Query[] = [
  { method: 'open pot wet', cut: 'ground', fatG: 1500, minutes: 180 },
  { method: 'oven dry', cut: 'cubed', fatG: 3000, minutes: 300 },
  { method: 'slow cooker dry-ish', cut: 'minced', fatG: 2200, minutes: 420 },
];

/**
 * Analyses a list of batches kept as CSV, outside any community: the whole report as one JSON object, or the words and
 * pictures that a community would get. Answers with the exit status: 1 when nothing was analysed.
 */
export async function analyse({ files, json, skipBad, write, note, print }: AnalyseOptions): Promise<number> {
  const refuse = (title: string, text: string, wrong: readonly WrongLine[] = []): number => {
    if (json) {
      const said = { title, text };
      write(`${JSON.stringify({ command: 'analyse', ok: false, refusal: said, wrong_lines: wrong })}\n`);
    } else write(`${title}\n  ${text}\n${wrong.map(wrongWords).join('')}`);
    return 1;
  };
  const [file, ...more] = files;
  if (file === undefined)
    return refuse('Name a file', `analyse FILE.csv, with the columns ${BATCH_COLUMNS.join(', ')}.`);
  if (more.length > 0)
    return refuse(
      'One file at a time',
      `Put the batches into one table, or analyse ${basename(file)} alone.`,
    );
  const name = basename(file);
  const isLarge = (await sizeOf(file)) > LARGE_BYTES;
  if (isLarge) note(`Reading ${name}…`);
  const methods = new LevelNames(FIRST_METHODS);
  const cuts = new LevelNames(FIRST_CUTS);
  const nameOf: NameOf = (column, text) => (column === 'method' ? methods : cuts).named(text);
  const read = await readBatchCsv(file, nameOf, skipBad);
  if (!read.ok) return refuse(`${name} cannot be analysed`, read.problem);
  const { wrong, wrongCount, isWhole } = read;
  if (!isWhole)
    return refuse(
      `${wrongCount} lines of ${name} cannot be used, and the rest was not read`,
      `Nothing was analysed. Put them right${read.batches.length === 0 ? '' : ', or say --skip-bad to use the others'}.`,
      wrong,
    );
  if (wrongCount > 0 && !skipBad)
    return refuse(
      `${wrongCount} ${wrongCount === 1 ? 'line' : 'lines'} of ${name} cannot be used`,
      `Nothing was analysed. Put them right${read.batches.length === 0 ? '' : `, or say --skip-bad to use the other ${read.batches.length}`}.`,
      wrong,
    );
  if (read.batches.length === 0)
    return refuse(
      `${name} holds no batches`,
      wrongCount === 0
        ? 'There is nothing to analyse below its first line.'
        : 'None of its lines can be used, so there is nothing to analyse.',
      wrong,
    );

  if (isLarge) note(`Working out ${read.batches.length} batches…`);
  const kept: Kept = {
    batches: read.batches,
    numberedBy: read.numberedBy,
    observations: read.batches.map(observationOf),
    methods: methods.inOrder(),
    cuts: cuts.inOrder(),
    wrong,
    wrongCount,
  };
  write(json ? `${JSON.stringify(reportOf(kept))}\n` : await wordsOf(name, kept, print));
  return 0;
}

/** About 20,000 batches; fewer take no time to speak of. */
const LARGE_BYTES = 1_000_000;

/** 0 for what is not there: reading it says so. */
async function sizeOf(file: string): Promise<number> {
  return stat(file).then(
    ({ size }) => size,
    () => 0,
  );
}

interface Kept {
  readonly batches: readonly NumberedBatch[];
  readonly numberedBy: NumberedBy;
  /** The same, as the model sees them. */
  readonly observations: readonly Observation[];
  readonly methods: readonly string[];
  readonly cuts: readonly string[];
  readonly wrong: readonly WrongLine[];
  readonly wrongCount: number;
}

/** Names of one factor; the same in other letters is the same. */
class LevelNames {
  readonly #first: readonly string[];
  readonly #byKey: Map<string, string>;
  readonly #used = new Set<string>();

  constructor(first: readonly string[]) {
    this.#first = first;
    this.#byKey = new Map(first.map((name) => [name, name]));
  }

  named(text: string): string {
    const key = text.toLowerCase();
    const name = this.#byKey.get(key) ?? text;
    this.#byKey.set(key, name);
    this.#used.add(name);
    return name;
  }

  /** Those that were used. */
  inOrder(): readonly string[] {
    const others = [...this.#used].filter((name) => !this.#first.includes(name)).sort();
    return [...this.#first.filter((name) => this.#used.has(name)), ...others];
  }
}

function reportOf(kept: Kept) {
  const { batches, observations, methods, cuts, wrong, wrongCount } = kept;
  return {
    method_levels: methods,
    cut_levels: cuts,
    ...referenceReport(batches, methods, cuts, queriesFor(kept), observations),
    odd_batches: oddOf(kept).map(({ index, oddity }) => ({
      batch: batches[index]?.batch ?? null,
      kind: oddity.kind,
      z: oddity.kind === 'far-from-own' ? oddity.z : null,
      residual: oddity.kind === 'far-from-own' ? oddity.residual : null,
    })),
    skipped: wrongCount,
    skipped_lines: wrong,
  };
}

function oddOf({ observations, methods, cuts }: Kept): readonly OddBatch[] {
  return oddBatches(batchDesign(methods, cuts), observations, IMPOSSIBLE_YIELD);
}

/** The usual ones, or, where a file has names of its own, one for each method at its first batch's setting. */
function queriesFor({ batches, methods }: Kept): readonly Query[] {
  if (methods.some((method) => FIRST_METHODS.includes(method))) return QUERIES;
  return methods.flatMap((method) => batches.find((batch) => batch.method === method) ?? []);
}

const MOST_ODD_SHOWN = 50;

/** More marks than this in a picture hide one another. */
const MOST_MARKS = 600;

async function wordsOf(name: string, kept: Kept, print: AnalyseOptions['print']): Promise<string> {
  const odd = oddOf(kept);
  const printed: string[] = [];
  for (const reply of await repliesOf(name, kept, odd.length)) printed.push(await print(reply));
  return `${[...printed, ...oddSection(odd, kept), ...leftOutSection(kept)].join('\n')}\n`;
}

/** What a community would be told. */
async function repliesOf(name: string, kept: Kept, odd: number): Promise<readonly Reply[]> {
  const { batches } = kept;
  const model = batchModel(communityOf(kept));
  const { community, fit } = model;
  const scope = {
    filter: {},
    whose: `The batches in ${name}`,
    rest: '--json',
    odd: [],
    counted: true,
    lines: [],
  };
  const looks = odd === 1 ? 'looks odd and is' : 'look odd and are';
  const replies: Reply[] = [
    describePooled(
      pooledYield(memberSums(batches).values()),
      typicalYield(chooseTerms(community.sums, { factors: [], covariates: [] })),
      { ...scope, lines: odd === 0 ? [] : [`${odd} of them ${looks} counted; see below.`] },
      `all batches in ${name}`,
    ),
  ];
  const marks = marksOf(batches);
  // Without a fit each would say the same.
  const compared =
    fit.kind === 'none' ? (['method'] as const) : (['method', 'cut', 'weight', 'time'] as const);
  for (const by of compared)
    replies.push(
      await describeComparison(
        by,
        { ...model, scope },
        {
          marksOf: async () => marks,
          pictures: drawnHere,
          missed: (error) => {
            throw error;
          },
        },
      ),
    );
  return replies;
}

function communityOf({ observations, methods, cuts }: Kept): CommunitySums {
  const design = batchDesign(methods, cuts);
  const totals = memberTotals(design, observations);
  const usedBy = (factor: ModelFactor) => membersByLevel(design, totals.values(), factor);
  return {
    sums: modelSumsWith(design, observations, totals),
    membersByLevel: { method: usedBy('method'), cut: usedBy('cut') },
    members: totals.size,
    timeAllowedFor: true,
    withoutTime: 0,
    logged: covariateRanges(design, observations),
  };
}

function oddSection(odd: readonly OddBatch[], { batches, numberedBy }: Kept): readonly string[] {
  if (odd.length === 0) return [];
  const more = odd.length - MOST_ODD_SHOWN;
  const lines = [
    'Odd batches',
    ...odd.slice(0, MOST_ODD_SHOWN).map((one) => oddWords(one, batches, numberedBy)),
    ...(more > 0 ? [`and ${more} more; --json lists them all`] : []),
  ];
  return [`${lines.join('\n  ')}\n`];
}

function leftOutSection({ wrong, wrongCount }: Kept): readonly string[] {
  if (wrongCount === 0) return [];
  const unnamed = wrongCount > wrong.length ? `  and ${wrongCount - wrong.length} more\n` : '';
  return [`Left out as asked\n${wrong.map(wrongWords).join('')}${unnamed}`];
}

function marksOf(batches: readonly NumberedBatch[]): readonly BatchMark[] {
  return batches.slice(-MOST_MARKS).map(({ method, cut, fatG, minutes, tallowG }) => ({
    method,
    cut,
    fatG,
    minutes,
    yield: tallowG / fatG,
  }));
}

function oddWords(
  { index, oddity }: OddBatch,
  batches: readonly NumberedBatch[],
  numberedBy: NumberedBy,
): string {
  const batch = batches[index];
  if (batch === undefined) return '';
  const which = numberedBy === 'line' ? 'The batch on line' : 'Batch';
  const gave = `${which} ${batch.batch} by ${batch.member}: ${percentWords(batch.tallowG / batch.fatG, 1)}`;
  switch (oddity.kind) {
    case 'nothing-rendered':
      return `${gave}, no tallow at all.`;
    case 'more-than-the-fat-holds':
      return `${gave}, more than any raw fat holds.`;
    case 'far-from-own':
      return `${gave}, ${oddity.residual > 0 ? 'far above' : 'far below'} what was to be expected of this cook.`;
  }
}

const wrongWords = ({ line, reason }: WrongLine): string => `  line ${line}: ${reason}\n`;
