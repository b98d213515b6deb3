import { command, subcommand } from '../src/chat/command.js';
import { choice, words } from '../src/chat/options.js';
import { isRefusal, type Refusal, refusal, reply } from '../src/chat/reply.js';
import * as option from '../src/kitchen/options.js';
import { impossiblePotWords } from '../src/kitchen/render.js';
import { cannotTakeHeat, mayHoldPressure } from '../src/kitchen/vessel-names.js';
import { type Records, wholly } from '../src/records/database.js';
import {
  changeKitchen,
  isSameName,
  type Kit,
  type Kitchen,
  kitOf,
  MOST_VESSELS,
  removeVessel,
  saveVessel,
  VESSEL_KINDS,
  type Vessel,
} from '../src/records/kit.js';
import {
  altitudeWords,
  capacityWords,
  lengthWords,
  powerWords,
  temperatureWords,
} from '../src/words/amounts.js';
import { capitalise, countWords } from '../src/words/lists.js';

const NAME_LENGTH = 40;

/** What a kitchen can say of itself, by the word that removes it again. */
const KITCHEN: readonly {
  readonly name: string;
  readonly forget: { readonly [K in keyof Kitchen]?: null };
  readonly words: (kitchen: Kitchen) => string | undefined;
}[] = [
  {
    name: 'burner',
    forget: { burnerW: null, burnerKind: null },
    words: ({ burnerW, burnerKind }) =>
      [said(burnerW, powerWords), burnerKind].filter((words) => words !== undefined).join(', ') || undefined,
  },
  {
    name: 'altitude',
    forget: { altitudeM: null },
    words: ({ altitudeM }) => said(altitudeM, altitudeWords),
  },
  {
    name: 'fat-temperature',
    forget: { fatStartC: null },
    words: ({ fatStartC }) => said(fatStartC, temperatureWords),
  },
  {
    name: 'water-temperature',
    forget: { waterStartC: null },
    words: ({ waterStartC }) => said(waterStartC, temperatureWords),
  },
  {
    name: 'price',
    forget: { pricePerKWh: null },
    words: ({ pricePerKWh }) => said(pricePerKWh, (price) => `${price} a kWh`),
  },
];

const said = <T, W>(value: T | undefined, words: (value: T) => W): W | undefined =>
  value === undefined ? undefined : words(value);

const render = option.RENDER_OPTIONS;

/** `/kit`: what a member cooks with, so that it need not be said each time. */
export function kit(db: Records) {
  return command({
    name: 'kit',
    description: 'Your pots, burner and altitude, so that you need not say them each time',
    subcommands: {
      add: subcommand({
        description: 'Add a vessel, or say what your kitchen is like',
        audience: 'only you',
        stores: true,
        options: {
          vessel: words({
            description: 'A name for the vessel',
            required: false,
            maxLength: NAME_LENGTH,
            example: 'stock pot',
          }),
          kind: choice({ description: 'What kind of vessel', required: false, choices: VESSEL_KINDS }),
          capacity: option.vesselVolume,
          diameter: render.diameter,
          burner: render.burner,
          'burner-kind': render['burner-kind'],
          altitude: render.altitude,
          'fat-temperature': render['fat-temperature'],
          'water-temperature': render['water-temperature'],
          price: render.price,
        },
        async run(values, call) {
          const vessel = vesselIn(values, (await kitOf(db, call)).vessels);
          if (isRefusal(vessel)) return vessel;
          const changes = {
            burnerW: values.burner,
            burnerKind: values['burner-kind'],
            altitudeM: values.altitude,
            fatStartC: values['fat-temperature'],
            waterStartC: values['water-temperature'],
            pricePerKWh: values.price,
          };
          if (vessel === undefined && Object.values(changes).every((value) => value === undefined)) {
            return refusal(
              'Nothing to add',
              'Name a vessel with its size, or say what your kitchen is like. For example: /kit add vessel:"stock pot" capacity:"12 qt", or /kit add altitude:"5280 ft".',
            );
          }
          const kit = await wholly(db, async (tx) => {
            if (vessel !== undefined && (await saveVessel(tx, call, vessel, call.now)) === 'full')
              return 'full';
            await changeKitchen(tx, call, changes, call.now);
            return kitOf(tx, call);
          });
          if (kit === 'full') {
            return refusal(
              'Your kit is full',
              `It holds ${MOST_VESSELS} vessels at most. Take one out with /kit remove first.`,
            );
          }
          call.saved('Your kit is saved');
          return describe(kit, 'Your kit now');
        },
      }),

      list: subcommand({
        description: 'What is in your kit',
        audience: 'only you',
        options: {},
        run: async (_values, call) => describe(await kitOf(db, call), 'Your kit'),
      }),

      remove: subcommand({
        description: 'Take a vessel out, or forget what your kitchen is like',
        audience: 'only you',
        stores: true,
        options: {
          what: words({
            description: `A vessel’s name, or ${KITCHEN.map(({ name }) => name).join(', ')}`,
            required: true,
            maxLength: NAME_LENGTH,
            example: 'stock pot',
            suggests: true,
          }),
        },
        async run({ what }, call) {
          const left = await wholly(db, async (tx) => {
            const removed = await removeVessel(tx, call, what);
            if (removed === undefined) {
              const { vessels, kitchen } = await kitOf(tx, call);
              const part = KITCHEN.find(({ name, words }) => isSameName(name, what) && words(kitchen));
              if (part === undefined) return noSuchPart(what, { vessels, kitchen });
              await changeKitchen(tx, call, part.forget, call.now);
            }
            return kitOf(tx, call);
          });
          if (isRefusal(left)) return left;
          call.saved('Your kit is saved');
          return describe(left, 'Your kit now');
        },
        async suggest(_option, typed, _given, call) {
          return partsOf(await kitOf(db, call))
            .filter((name) => name.toLowerCase().includes(typed.trim().toLowerCase()))
            .slice(0, 25)
            .map((name) => ({ value: name, label: name }));
        },
      }),
    },
  });
}

interface SaidVessel {
  readonly vessel: string | undefined;
  readonly kind: Vessel['kind'] | undefined;
  readonly capacity: number | undefined;
  readonly diameter: number | undefined;
}

/**
 * The vessel that was named, undefined when none was, or why it cannot be kept. Of one that is in the kit already, what
 * is not said stays as it is; of another size, its width is not known.
 */
function vesselIn(values: SaidVessel, kept: readonly Vessel[]): Vessel | Refusal | undefined {
  const { vessel: name, kind, capacity, diameter } = values;
  if ([name, kind, capacity, diameter].every((value) => value === undefined)) return undefined;
  const known = kept.find((one) => name !== undefined && isSameName(one.name, name));
  const capacityMl = capacity ?? known?.capacityMl;
  const example = 'For example: /kit add vessel:"stock pot" capacity:"12 qt" diameter:"11 in".';
  if (name === undefined || capacityMl === undefined)
    return refusal('Half a vessel', `A vessel needs a name and how much it holds. ${example}`);
  // A name that reads as a size, or as a part of the kitchen, could not be told from one later.
  if (option.vesselVolume.parse(name).ok || KITCHEN.some((part) => isSameName(part.name, name)))
    return refusal('That is no name for a vessel', `Give it a name that nothing else has. ${example}`);
  if (cannotTakeHeat(name))
    return refusal(
      'Nothing to render in',
      'Glass, jars and plastic crack or melt under hot fat. Add a metal pot, a pan or a cooker instead.',
    );
  const called = kind ?? known?.kind ?? kindCalled(name);
  if (isRefusal(called)) return called;
  const knownCm = capacity === undefined ? known?.diameterCm : undefined;
  const diameterCm = diameter === undefined ? knownCm : diameter * 100;
  const impossible = diameterCm === undefined ? undefined : impossiblePotWords(capacityMl, diameterCm);
  if (impossible !== undefined)
    return refusal(
      'That vessel cannot be',
      `${impossible} Measure the width inside, or leave it out. ${example}`,
    );
  return { name, kind: called, capacityMl, diameterCm };
}

/** What a vessel is by its name, so that a pressure cooker is not taken for a pot; asked back where it could be either. */
function kindCalled(name: string): Vessel['kind'] | Refusal {
  if (/\bpressure\b/i.test(name)) return 'pressure-cooker';
  if (/slow/i.test(name)) return 'slow-cooker';
  if (!mayHoldPressure(name)) return 'pot';
  return refusal(
    'What kind of vessel is it?',
    `“${name}” may lock under pressure. Say kind:pressure-cooker if its lid locks, kind:slow-cooker, or kind:pot if it never does.`,
  );
}

function partsOf({ vessels, kitchen }: Kit): readonly string[] {
  return [
    ...vessels.map(({ name }) => name),
    ...KITCHEN.filter(({ words }) => words(kitchen) !== undefined).map(({ name }) => name),
  ];
}

function noSuchPart(what: string, kit: Kit): Refusal {
  const parts = partsOf(kit);
  return refusal(
    'Not in your kit',
    parts.length === 0
      ? 'Your kit is empty. /kit add puts something in.'
      : `There is no “${what}” in it. It holds ${parts.join(', ')}.`,
  );
}

function describe({ vessels, kitchen }: Kit, title: string) {
  const known = KITCHEN.flatMap(({ name, words: wordsOf }) => {
    const value = wordsOf(kitchen);
    return value === undefined ? [] : [`${capitalise(name).replaceAll('-', ' ')}: ${value}`];
  });
  const isEmpty = vessels.length === 0 && known.length === 0;
  const count = vessels.length === 0 ? '' : `: ${countWords(vessels.length, 'vessel', 'vessels')}`;
  return reply({
    title: isEmpty ? 'Your kit is empty' : `${title}${count}`,
    audience: 'only you',
    lines: isEmpty
      ? ['Add what you cook with: /kit add vessel:"stock pot" capacity:"12 qt", or altitude:"5280 ft".']
      : [
          ...vessels.map(vesselWords),
          ...known,
          'Answers use it unless you say otherwise. /kit remove takes something out.',
        ],
    figures: {
      vessels: vessels.length,
      capacitiesMl: vessels.map(({ capacityMl }) => capacityMl),
      diametersCm: vessels.map(({ diameterCm }) => diameterCm ?? null),
      burnerW: kitchen.burnerW ?? null,
      altitudeM: kitchen.altitudeM ?? null,
      fatStartC: kitchen.fatStartC ?? null,
      waterStartC: kitchen.waterStartC ?? null,
      pricePerKWh: kitchen.pricePerKWh ?? null,
    },
  });
}

function vesselWords({ name, kind, capacityMl, diameterCm }: Vessel): string {
  const label = VESSEL_KINDS.find(({ value }) => value === kind)?.label ?? kind;
  const wide = diameterCm === undefined ? '' : `, ${lengthWords(diameterCm / 100)} wide`;
  const lid = kind === 'pot' && mayHoldPressure(name) ? '; as a pot its lid is never locked' : '';
  return `${name}: ${label.toLowerCase()}, ${capacityWords(capacityMl)}${wide}${lid}`;
}
