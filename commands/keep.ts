import { type Call, ifReadable } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import { choice } from '../src/chat/options.js';
import { type Fact, type Reply, reply } from '../src/chat/reply.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { sourceLines } from '../src/safety/sources.js';
import {
  FREEZER_HEADSPACE_MM,
  KEEPING,
  type KeepingTime,
  keepingWords,
  type Place,
  type Stored,
  type StoredFood,
  useBy,
} from '../src/safety/storage.js';
import { dayWords } from '../src/words/moments.js';

const DESCRIPTION = 'How long it keeps, and how to see that it is off';

const STORED = Object.entries(KEEPING).map(([value, { label }]) => ({ value: value as Stored, label }));

const OPTIONS = {
  what: choice({ description: 'What you keep', required: false, choices: STORED }),
  where: choice({
    description: 'Where; the refrigerator unless said',
    required: false,
    choices: [
      { value: 'refrigerator', label: 'Refrigerator, 40 °F (4 °C) or below' },
      { value: 'freezer', label: 'Freezer, 0 °F (-18 °C)' },
      { value: 'room', label: 'Out of both' },
    ],
  }),
};

/** `/keep`: how long what keeps, where, how to see that it is off, and what to write on the lid. */
export function keep(db: Records) {
  return command({
    name: 'keep',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      options: OPTIONS,
      async run({ what = 'tallow', where = 'refrigerator' }, call) {
        const keeping: StoredFood = KEEPING[what];
        return where === 'room' ? outside(keeping) : inside(db, keeping, where, call);
      },
    }),
  });
}

const PLACE_WORDS = { refrigerator: 'refrigerator', freezer: 'freezer' } as const satisfies Record<
  Place,
  string
>;

async function inside(db: Records, keeping: StoredFood, place: Place, call: Call): Promise<Reply> {
  const { label, off, brief } = keeping;
  const time = keeping[place];
  if (time === undefined) return notKnown(keeping, place);
  const zone = (await ifReadable(communityZone(db, call.community), call)) ?? 'UTC';
  const useByMs = useBy(time, call.now.getTime());
  return reply({
    title: `${label}: ${keepingWords(time)} in the ${PLACE_WORDS[place]}`,
    facts: [
      ...(place === 'freezer' ? [headspace()] : others(keeping)),
      { label: 'Off when', text: off },
      { label: 'Lid', text: `“${keeping.lid}. Use by ${dayWords(new Date(useByMs), zone)}”` },
    ],
    note: brief,
    sources: sourceLines(sourcesOf(time)),
    figures: {
      keepsDaysLow: time.daysLow,
      keepsDaysHigh: time.daysHigh,
      useByMs,
      ...(place === 'freezer' ? { headspaceMm: FREEZER_HEADSPACE_MM } : {}),
    },
  });
}

/** The published time; that it is by analogy stands in the note. */
const sourcesOf = ({ sources }: KeepingTime) =>
  sources.filter((id) => id !== 'raw-fat-by-analogy' && id !== 'tallow-by-analogy').slice(0, 1);

function others({ freezer, room }: StoredFood): readonly Fact[] {
  return [
    { label: 'Freezer', text: freezer ? keepingWords(freezer) : 'not known here' },
    { label: 'Out', text: room },
  ];
}

/** What stands in FREEZER_HEADSPACE_MM, in the fractions that a ruler shows. */
const headspace = (): Fact => ({
  label: 'Jars',
  text: 'leave ½ in (pint), 1 in (quart); narrow mouth ¾, 1½ in (NCHFP)',
});

const notKnown = (keeping: StoredFood, place: Place): Reply =>
  reply({
    title: `${keeping.label} in the ${PLACE_WORDS[place]}: not known here`,
    facts: [
      { label: 'Refrigerator', text: keepingWords(keeping.refrigerator) },
      { label: 'Off when', text: keeping.off },
    ],
    note: keeping.brief,
    sources: sourceLines(keeping.refrigerator.sources),
    figures: {
      refrigeratorDaysLow: keeping.refrigerator.daysLow,
      refrigeratorDaysHigh: keeping.refrigerator.daysHigh,
    },
  });

const outside = ({ label, room, refrigerator, off }: StoredFood): Reply =>
  reply({
    title: `${label}, out of the cold: ${room}`,
    facts: [
      { label: 'Refrigerator', text: keepingWords(refrigerator) },
      { label: 'Off when', text: off },
    ],
    note: 'It stood out too long? /now what:"stood out"',
    sources: sourceLines(['fsis-danger-zone']),
    figures: { refrigeratorDaysLow: refrigerator.daysLow, refrigeratorDaysHigh: refrigerator.daysHigh },
  });
