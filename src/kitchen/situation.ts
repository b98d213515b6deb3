import { type Call, ifReadable } from '../chat/call.js';
import { boilingAt } from '../cooking/heat/boiling.js';
import { standsOnBurner } from '../cooking/heat/own-heat.js';
import { communityZone } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { type Cook, isHigh } from '../safety/local-figures.js';
import {
  type Activity,
  type Circumstance,
  HEAVIEST_LIFT_G,
  LONG_MINUTES,
  type Season,
  type Situation,
} from '../safety/occasion.js';
import { seasonAt } from '../safety/season.js';
import { originOf } from './asked.js';
import type { Render } from './render.js';

/** Ice, and as cold as a refrigerator must be: USDA FSIS, 40 °F. */
const FREEZING_C = 0;
const COLD_C = 4.5;

/** What the figures of a caution depend on; where water boils is known only if somebody said how high they cook. */
export const cookOf = ({ asked }: Pick<Render, 'asked'>): Cook => ({
  unit: asked.values.unit,
  boilC:
    originOf(asked, 'altitude') === 'assumed'
      ? undefined
      : boilingAt({ altitudeM: asked.values.altitude ?? 0 }).boilC,
});

/** A render, or one step of its batch, as cautions are chosen for it. */
export function situationOf(
  render: Render,
  activity: Activity,
  season?: Season | undefined,
  besides: readonly Circumstance[] = [],
): Situation {
  return {
    activity,
    method: render.method,
    cut: render.fat.cut,
    season,
    burner: burnerOf(render),
    circumstances: [...circumstancesOf(render), ...besides],
  };
}

/** The kind of burner that was said, or that goes with such a pot. */
function burnerOf({ method, asked: { values } }: Render): Situation['burner'] {
  if (!standsOnBurner(method)) return undefined;
  const isFryer = /fryer|propane/i.test(values.vessel?.name ?? '');
  return values['burner-kind'] ?? (isFryer ? 'outdoor gas' : undefined);
}

function circumstancesOf(render: Render): readonly Circumstance[] {
  const { water, minutes, pot, asked } = render;
  const { loads, fatGEach, waterMlEach } = pot.loads;
  const fatC = asked.values['fat-temperature'];
  const { topUps } = water;
  const told: readonly (readonly [Circumstance, boolean])[] = [
    ['top-ups', topUps !== undefined && !(topUps.ok && topUps.enough)],
    ['long', minutes > LONG_MINUTES],
    ['large', fatGEach + waterMlEach > HEAVIEST_LIFT_G],
    ['high', isHigh(cookOf(render).boilC)],
    ['frozen', fatC !== undefined && fatC <= FREEZING_C],
    ['warm', fatC !== undefined && fatC > COLD_C],
    ['loads', loads > 1],
  ];
  return told.flatMap(([circumstance, holds]) => (holds ? [circumstance] : []));
}

/** The season where a community is; undefined while the database is away. */
export async function seasonHere(db: Records, call: Call): Promise<Season | undefined> {
  const zone = await ifReadable(communityZone(db, call.community), call);
  return zone === undefined ? undefined : seasonAt(call.now, zone);
}
