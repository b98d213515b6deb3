import { subcommand } from '../chat/command.js';
import { reply } from '../chat/reply.js';
import { FAT_CONTENT, type RawFat } from '../cooking/blends/tallow.js';
import * as option from '../kitchen/options.js';
import type { Records } from '../records/database.js';
import { sourceLines } from '../safety/sources-shown.js';
import {
  minutesWords,
  percentRangeWords,
  percentWords,
  roundWeightWords,
  weightRangeWords,
  weightWords,
} from '../words/amount-words.js';
import { cutLabel, methodLabel } from '../words/methods.js';
import { basisWords, forecastFor, type MemberForecast } from './forecast.js';
import { oddFigures, scopeOf } from './scope.js';

/** `/yield forecast`: how much tallow the member's next batch will probably give. */
export function forecastSubcommand(db: Records) {
  return subcommand({
    description: 'How much tallow your next batch will probably give, and how sure that is',
    options: {
      fat: option.fatWeight(true),
      method: option.method(true),
      cut: option.cut(true),
      hours: option.hours('How long it will render; a bare number is hours'),
      kind: option.rawFat(),
    },
    async run({ fat, method, cut, hours: minutes, kind: rawFat = 'trimmings' }, call) {
      const [known, scope] = await Promise.all([
        forecastFor(db, call.community, call.member.id, { method, cut, fatG: fat, minutes, rawFat }),
        scopeOf(db, call.community),
      ]);
      const { forecast, community, ownBatches } = known;
      const { expected, low, high, level, basis } = forecast;
      const timeless =
        minutes !== undefined && !known.allowsForTime
          ? ['How long it renders makes no difference to this: the batches do not tell it apart.']
          : [];
      return reply({
        title: `Expect about ${roundWeightWords(expected * fat)} of tallow`,
        lines: [
          `${percentWords(expected)} of ${weightWords(fat)} of fat; ${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}.`,
          `${basis === 'common-practice' ? 'Usual is' : '8 batches in 10 like this should give'} ${weightRangeWords(low * fat, high * fat)}, ${percentRangeWords(low, high)}.`,
          basisWords(known, cut),
          ...beyondLines(known, { fatG: fat, minutes }),
          ...(high === FAT_CONTENT[rawFat].typical ? [heldWords(rawFat)] : []),
          ...timeless,
          ...scope.lines,
        ],
        sources: [
          ...(basis === 'common-practice'
            ? []
            : [
                `This community’s batches: ${known.cooksToldApart ? 'mixed model' : 'least squares'}, 80 % prediction interval`,
              ]),
          ...(basis === 'common-practice' || basis === 'blend' ? sourceLines(['practice-yield']) : []),
        ],
        figures: {
          fatG: fat,
          expectedYield: expected,
          expectedYieldLow: low,
          expectedYieldHigh: high,
          tallowG: expected * fat,
          tallowLowG: low * fat,
          tallowHighG: high * fat,
          level,
          trust: forecast.trust,
          ownShare: forecast.ownShare,
          ownBatches,
          batches: community.sums.total.batches,
          members: community.members,
          ...oddFigures(scope),
        },
      });
    },
  });
}

const heldWords = (rawFat: RawFat): string =>
  rawFat === 'suet'
    ? `No more than the ${percentWords(FAT_CONTENT.suet.typical)} that suet holds.`
    : `No more than the ${percentWords(FAT_CONTENT.trimmings.typical)} that trimmings hold; if it is suet, say kind:suet.`;

/** Nobody knows what lies beyond what was logged. */
function beyondLines(
  { forecast: { beyond }, allowsForTime }: MemberForecast,
  asked: { readonly fatG: number; readonly minutes: number | undefined },
): readonly string[] {
  const { log_fat_kg: logFatKg, hours } = beyond;
  const said: string[] = [];
  if (logFatKg !== undefined) {
    const fatG = 1000 * Math.exp(logFatKg);
    said.push(`${asked.fatG > fatG ? 'heaviest' : 'lightest'} so far, ${roundWeightWords(fatG)} of fat`);
  }
  if (hours !== undefined && allowsForTime) {
    const minutes = 60 * hours;
    said.push(`${(asked.minutes ?? 0) > minutes ? 'longest' : 'shortest'}, ${minutesWords(minutes)}`);
  }
  return said.length === 0
    ? []
    : [
        `Beyond what is logged here it is reckoned like the ${said.join(' and the ')}; it may be further off.`,
      ];
}
