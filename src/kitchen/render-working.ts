import { type Figures, figuresOf } from '../chat/reply.js';
import { fatInRawG, recoveryAssumptions, usualYield } from '../cooking/blends/tallow.js';
import { RELEASE_MINUTES } from '../cooking/planning/timeline-steps.js';
import { LB_PER_8_CUPS, type Water } from '../cooking/water/water.js';
import type { Calculation, Part, WorkingInput } from '../cooking/working.js';
import { shareWords } from '../findings/expected-share.js';
import {
  altitudeWords,
  capacityWords,
  lengthWords,
  minutesWords,
  powerWords,
  pressureWords,
  temperatureWords,
  volumeWords,
} from '../words/amounts.js';
import { cutLabel, methodLabel } from '../words/methods.js';
import { ML_PER_US_CUP } from '../words/units.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import { inputFrom } from './asked.js';
import type { Render } from './render.js';
import { fatLimitTimes } from './render-words.js';

/** The inputs of a render, each with whose figure it is. */
export function renderInputs(render: Render): readonly WorkingInput[] {
  const { asked, method, minutes, fat, pot, heat, water } = render;
  const { unit, vessel, price } = asked.values;
  const { boiling, burner } = heat;
  const input = inputFrom(asked);
  const name = vessel?.name === undefined ? '' : `${vessel.name}, `;
  return [
    input('Method', 'method', methodLabel(method)),
    input('Cut', 'cut', cutLabel(fat.cut)),
    input('What the fat is', 'kind', `${fat.rawFat}, ${percentWords(fat.leanFraction)} lean`),
    input('Time', 'minutes', minutesWords(minutes)),
    input('Altitude', 'altitude', altitudeWords(heat.altitudeM, unit)),
    ...(method === 'pressure' ? [input('Gauge', 'gauge', pressureWords(boiling.gaugeKPa, unit))] : []),
    ...(water.boilOff ? [input('Lid', 'lid', pot.lid)] : []),
    input('Vessel', 'vessel', `${name}${capacityWords(pot.vesselMl, unit)}`),
    ...(pot.potDiameterCm === undefined
      ? []
      : [input('Width of the vessel', 'diameter', lengthWords(pot.potDiameterCm / 100, unit))]),
    ...(burner === undefined
      ? []
      : [
          input('Burner', 'burner', `${powerWords(burner.powerW)}, ${burner.kind ?? 'of unknown kind'}`),
          input('Fat goes in at', 'fat-temperature', temperatureWords(fat.startC, unit)),
          input('Water goes in at', 'water-temperature', temperatureWords(water.startC, unit)),
        ]),
    ...(price === undefined ? [] : [input('Price of a kWh', 'price', String(price))]),
    ...communityInputs(render),
  ];
}

/** What earlier batches say. */
function communityInputs({ asked, tallow, water }: Render): readonly WorkingInput[] {
  const { unit } = asked.values;
  const { share } = tallow;
  const origin = 'community';
  const forecast =
    share && `${percentRangeWords(share.low, share.high)}, ${shareWords(share, 'of the same cook')}`;
  const measured = water.boilOff?.basis === 'measured' ? asked.measured : [];
  return [
    ...(forecast ? [{ name: 'Share forecast', value: forecast, origin } as const] : []),
    ...measured.map(
      ({ waterMl, waterLeftMl, minutes }) =>
        ({
          name: 'An earlier render of the same cook',
          value: `${volumeWords(waterMl, unit)} in, ${volumeWords(waterLeftMl, unit)} left after ${minutesWords(minutes)}`,
          origin,
        }) as const,
    ),
  ];
}

/** The calculations of a render in the order in which one follows from another. */
export function renderParts(render: Render): readonly Part[] {
  const { water, heat, pot } = render;
  const { boilOff, topUps } = water;
  const { boiling, heatUp, use } = heat;
  return [
    { title: 'Water', calculation: waterCalculation(water) },
    { title: 'Boiling', calculation: boiling.calculation },
    { title: 'Vessel', calculation: pot.need.calculation },
    ...(pot.loads.loads > 1 ? [{ title: 'Loads', calculation: pot.loads.calculation }] : []),
    ...(boilOff ? [{ title: 'Boil-off', calculation: boilOff.calculation }] : []),
    ...(topUps?.ok ? [{ title: 'Top-ups', calculation: topUps.calculation }] : []),
    ...(heatUp?.ok ? [{ title: 'Heat-up', calculation: heatUp.calculation }] : []),
    ...(use ? [{ title: 'Energy', calculation: use.calculation }] : []),
    { title: 'Tallow', calculation: tallowCalculation(render) },
  ];
}

function waterCalculation({ kind, waterMl, waterLowMl, waterHighMl, assumptions }: Water): Calculation {
  const isWet = kind === 'wet';
  const source = isWet ? 'practice-water-ratio' : 'practice-dry-starter';
  return {
    formula: isWet
      ? 'water = raw fat ÷ pounds that 8 cups go with × 8 cups'
      : 'water = a cup, or what a wet render of so little fat would take',
    constants: [
      isWet
        ? { name: '8 cups go with', value: LB_PER_8_CUPS.suggested, unit: 'lb', source }
        : { name: 'A cup', value: ML_PER_US_CUP, unit: 'mL', source: 'nist-hb44' },
    ],
    assumptions,
    steps: [
      { name: 'Water', value: waterMl, unit: 'mL' },
      { name: 'at least', value: waterLowMl, unit: 'mL' },
      { name: 'at most', value: waterHighMl, unit: 'mL' },
    ],
  };
}

function tallowCalculation({ fat, method, tallow }: Render): Calculation {
  const { share, tallowLowG, tallowHighG, recoveryHigh, assumptions } = tallow;
  const { low, high } = usualYield(fat.cut, method, fat.rawFat);
  const ofTheCut = { unit: 'g/g', source: 'practice-yield' } as const;
  const spread = {
    text: '8 batches in 10 like this give from the least to the most; the spread is that of this community.',
    sources: [],
  };
  return {
    formula: `tallow = raw fat × share that ${share ? 'is forecast' : 'the cut gives'}${fat.leanFraction > 0 ? ' × fat held ÷ fat held without lean' : ''}; recovery = tallow ÷ fat held`,
    constants: share
      ? []
      : [
          { name: 'Least share', value: low, ...ofTheCut },
          { name: 'Most', value: high, ...ofTheCut },
        ],
    assumptions: [...(share ? [spread] : []), ...assumptions, ...recoveryAssumptions(fat)],
    steps: [
      { name: 'Fat in the raw piece', value: fatInRawG(fat), unit: 'g' },
      { name: 'Tallow at least', value: tallowLowG, unit: 'g' },
      { name: 'at most', value: tallowHighG, unit: 'g' },
      { name: 'Recovery at most', value: recoveryHigh, unit: '' },
    ],
  };
}

/** The figures of a render, for any reply that rests on one. */
export function renderFigures(render: Render): Figures {
  const { method, minutes, fat, pot, water, heat, tallow } = render;
  const { boilOff, topUps } = water;
  const { heatUp, use } = heat;
  const [first, second] = topUps?.ok ? topUps.topUps : [];
  const release = method === 'pressure' ? RELEASE_MINUTES : undefined;
  return {
    ...figuresOf(fat, 'fatG', 'leanFraction'),
    ...figuresOf(water, 'waterMl', 'waterLowMl', 'waterHighMl', 'minutesLow'),
    vesselMl: pot.need.vesselMl,
    potMl: pot.vesselMl,
    minutes,
    releaseLowMinutes: release?.low ?? null,
    releaseHighMinutes: release?.high ?? null,
    altitudeM: heat.altitudeM,
    ...figuresOf(heat.boiling, 'boilC', 'boilLowC', 'boilHighC'),
    boilOffMlPerHour: boilOff?.mlPerHour ?? null,
    boilOffLowMlPerHour: boilOff?.mlPerHourLow ?? null,
    boilOffHighMlPerHour: boilOff?.mlPerHourHigh ?? null,
    boilOffMl: boilOff === undefined ? null : (boilOff.mlPerHour * minutes) / 60,
    dryAtMinutes: topUps?.dryAtMinutes ?? null,
    dryAtLowMinutes: topUps?.dryAtLowMinutes ?? null,
    dryAtHighMinutes: topUps?.dryAtHighMinutes ?? null,
    topUps: topUps?.ok ? topUps.topUps.map((one) => figuresOf(one, 'atMinutes', 'ml')) : [],
    topUpEveryMinutes: first && second ? second.atMinutes - first.atMinutes : null,
    topUpsMl: topUps?.ok ? topUps.topUpsMl : null,
    biggerStartMl: topUps?.biggerStartMl ?? null,
    ...figuresOf(pot.loads, 'loads', 'fatGEach', 'waterMlEach'),
    heatUpMinutes: heatUp?.ok ? heatUp.minutes : null,
    burnerW: heat.burner?.powerW ?? null,
    energyKWh: use?.energyKWh ?? null,
    cost: use?.cost ?? null,
    ...figuresOf(tallow, 'tallowLowG', 'tallowHighG', 'tallowLowMl', 'tallowHighMl'),
    tallowExpectedG: tallow.tallowExpectedG ?? null,
    ...(method === 'pressure' ? fatLimitFigures(render) : {}),
    trust: tallow.share?.trust ?? 0,
    ...figuresOf(tallow, 'recoveryLow', 'recoveryHigh'),
  };
}

function fatLimitFigures(render: Render): Figures {
  const { low, high } = fatLimitTimes(render);
  return { fatLimitTimesLow: low, fatLimitTimesHigh: high, fatLimitMl: ML_PER_US_CUP / 4 };
}
