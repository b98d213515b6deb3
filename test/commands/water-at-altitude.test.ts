import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

// NIST SP 811, appendix B, and Handbook 44, appendix C: exact.
const ML_PER_CUP = 236.5882365;
const ML_PER_QT = 946.352946;
const toF = (celsius: number) => celsius * 1.8 + 32;

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const said = (reply: Reply) => reply.lines.join(' ');

function workingId(reply: Reply): string {
  const shown = reply.actions.find(({ label }) => label === 'Show the working');
  if (shown === undefined) throw new Error(`${reply.title} has no working to show`);
  return shown.id;
}

describe('/water where the cook is', () => {
  it('boils 5 lb at a mile high near 202 °F and needs no top-up in 4 hours', async () => {
    const reply = await talk.ask('/water fat:"5 lb" method:open-pot altitude:"5280 ft" minutes:240');
    // IAPWS-IF97 on the standard atmosphere of ISO 2533 gives 202.3 °F; printed tables for 5,000 ft say 203 °F.
    expect(toF(numberIn(reply, 'boilC'))).toBeCloseTo(202.3, 1);
    expect(said(reply)).toContain('202 °F');
    expect(said(reply)).toContain('5280 ft');
    // 16 cups, of which two thirds may go: more than the half-litre an hour that a pot of 10 quarts simmers away.
    expect(numberIn(reply, 'waterMl') / ML_PER_CUP).toBeCloseTo(16, 9);
    expect(numberIn(reply, 'boilOffMlPerHour') * 4).toBeLessThan((numberIn(reply, 'waterMl') * 2) / 3);
    expect(reply.figures.topUps).toEqual([]);
    expect(said(reply)).toContain('at a gentle simmer that lasts');
    expect(numberIn(reply, 'dryAtMinutes')).toBeGreaterThan(240);
    expect(numberIn(reply, 'loads')).toBe(1);
    expect(numberIn(reply, 'recoveryHigh')).toBeLessThanOrEqual(1);
  });

  it('tops up a long render so that a third is always left and the pot never overfills', async () => {
    const reply = await talk.ask('/water fat:"5 lb" altitude:"5280 ft" minutes:"10 h"');
    const startMl = numberIn(reply, 'waterMl');
    const perMinute = numberIn(reply, 'boilOffMlPerHour') / 60;
    const topUps = reply.figures.topUps;
    if (!Array.isArray(topUps) || topUps.length === 0) throw new Error('ten hours need topping up');
    let added = 0;
    for (const topUp of topUps) {
      const before = startMl + added - perMinute * topUp.atMinutes;
      expect(before).toBeGreaterThanOrEqual(startMl / 3 - 1e-6);
      added += topUp.ml;
      expect(before + topUp.ml).toBeLessThanOrEqual(startMl + 1e-6);
    }
    expect(startMl + added - perMinute * 600).toBeGreaterThanOrEqual(startMl / 3 - 1e-6);
    expect(numberIn(reply, 'topUpsMl')).toBeCloseTo(added, 6);
    expect(said(reply)).toContain('hot water');
  });

  it('never lets a burner boil away more than its whole power could', async () => {
    const reply = await talk.ask('/water fat:10lb burner:1800W burner-kind:electric lid:off');
    // Heat of vaporisation of water, 2257 kJ/kg at 100 °C (steam tables, from memory): 2.87 L an hour from 1800 W.
    const bound = (1800 * 3600) / 2257 / 0.9982;
    expect(numberIn(reply, 'boilOffHighMlPerHour')).toBeLessThan(bound);
    expect(numberIn(reply, 'boilOffMlPerHour')).toBeGreaterThan(0);
    expect(numberIn(reply, 'heatUpMinutes')).toBeGreaterThan(0);
  });

  it('runs a pressure cooker near 240 °F at sea level, sealed', async () => {
    // Common practice, no source: a pressure cooker runs near 240 °F.
    const reply = await talk.ask('/water fat:3lb method:pressure');
    expect(Math.abs(toF(numberIn(reply, 'boilC')) - 240)).toBeLessThan(1.5);
    expect(reply.figures).toMatchObject({ boilOffMlPerHour: null, dryAtMinutes: null, topUps: [] });
  });

  it('counts the fat it holds: suet gives as much more as it has more fat in it', async () => {
    const trimmings = await talk.ask('/water fat:5lb');
    const suet = await talk.ask('/water fat:5lb kind:suet');
    // USDA SR Legacy: 70.89 % fat (NDB 13019) and 94 % (suet).
    expect(numberIn(trimmings, 'recoveryLow')).toBeCloseTo(0.36 / 0.7089, 4);
    expect(numberIn(suet, 'recoveryHigh')).toBeCloseTo(0.6 / 0.7089, 4);
    const ratio = numberIn(suet, 'tallowHighG') / numberIn(trimmings, 'tallowHighG');
    expect(ratio).toBeCloseTo(0.94 / 0.7089, 4);
  });

  it('promises of lean pieces the same part of the fat that they hold', async () => {
    const reply = await talk.ask('/water fat:1kg lean:80%');
    // 0.2 × 70.89 % and 0.8 × 7.37 % (USDA SR Legacy, NDB 13019 and 13023).
    const holdsG = 1000 * (0.2 * 0.7089 + 0.8 * 0.0737);
    // Common practice, no source: 60 % of ground fat, which is 85 % of the fat in it.
    expect(numberIn(reply, 'tallowHighG')).toBeCloseTo((holdsG * 0.6) / 0.7089, 6);
    expect(numberIn(reply, 'recoveryLow')).toBeLessThanOrEqual(numberIn(reply, 'recoveryHigh'));
  });
});

describe('/water with a kit', () => {
  const speaking = { as: 'Marjoram' };
  beforeAll(async () => {
    await talk.ask('/kit add vessel:"small pot" capacity:"6 qt"', speaking);
    await talk.ask('/kit add vessel:"stock pot" capacity:"12 qt" diameter:"11 in"', speaking);
    await talk.ask(
      '/kit add vessel:canner kind:pressure-cooker capacity:"16 qt" altitude:"5280 ft" burner:"1800 W" burner-kind:electric price:0.17',
      speaking,
    );
  });

  it('takes the smallest pot that holds it, the altitude and the burner from there', async () => {
    const reply = await talk.ask('/water fat:"5 lb"', speaking);
    expect(numberIn(reply, 'potMl')).toBeCloseTo(12 * ML_PER_QT, 3);
    expect(numberIn(reply, 'altitudeM')).toBeCloseTo(1609.344, 3);
    expect(said(reply)).toContain('Your 12 qt');
    // Of the energy as it is shown, within 2 %, to the hundredth.
    const exact = numberIn(reply, 'energyKWh') * 0.17;
    expect(Math.abs(numberIn(reply, 'cost') - exact)).toBeLessThanOrEqual(0.02 * exact + 0.005);
    expect(numberIn(await talk.ask('/water fat:"2 lb"', speaking), 'potMl')).toBeCloseTo(6 * ML_PER_QT, 3);
    expect(numberIn(await talk.ask('/water fat:2lb method:pressure', speaking), 'potMl')).toBeCloseTo(
      16 * ML_PER_QT,
      3,
    );
  });

  it('divides a batch over the largest when none holds it', async () => {
    const reply = await talk.ask('/water fat:"15 lb"', speaking);
    expect(reply.figures).toMatchObject({ loads: 3 });
    expect(numberIn(reply, 'fatGEach') * 3).toBeCloseTo(numberIn(reply, 'fatG'), 6);
    expect(said(reply)).toContain('3 equal loads');
  });

  it('lets what is said stand above the kit', async () => {
    const reply = await talk.ask('/water fat:"5 lb" vessel:"SMALL POT" altitude:"0 ft" burner:3kW', speaking);
    expect(said(reply)).toContain('Your small pot of 6 qt');
    expect(numberIn(reply, 'potMl')).toBeCloseTo(6 * ML_PER_QT, 3);
    expect(reply.figures).toMatchObject({ altitudeM: 0, burnerW: 3000 });
    expect(numberIn(await talk.ask('/water fat:"5 lb" vessel:20qt', speaking), 'potMl')).toBeCloseTo(
      20 * ML_PER_QT,
      3,
    );
  });

  it('suggests the vessels by name', async () => {
    const call = {
      member: { id: 'Marjoram', name: 'Marjoram', mayManage: false },
      community: 'ember-lane',
      where: 'server',
      channel: undefined,
      interaction: 'suggest-2',
      now: new Date(0),
      platform: { channel: async () => undefined, messageLink: () => undefined },
      application: 'terminal',
    } as const;
    const suggestions = await talk.conversation.suggest(['water'], 'vessel', 'POT', {}, call);
    expect(suggestions.map(({ value }) => value)).toEqual(['small pot', 'stock pot']);
  });

  it('uses the boil-off that earlier renders measured', async () => {
    const cook = { as: 'Chervil' };
    for (const left of [6, 7, 8])
      await talk.ask(
        `/batch log fat:4lb tallow:"3${left} oz" method:open-pot cut:ground water:"14 cups" water-left:"${left} cups" minutes:"3 h"`,
        cook,
      );
    const reply = await talk.ask('/water fat:4lb', cook);
    // (8 + 7 + 6) cups in 9 hours.
    expect(numberIn(reply, 'boilOffMlPerHour')).toBeCloseTo((21 / 9) * ML_PER_CUP, 6);
    const working = await talk.ask(`press:${workingId(reply)}`, { as: 'Somebody' });
    expect(said(working)).toContain('An earlier render of the same cook 14 cups');
    const other = await talk.ask('/water fat:4lb lid:on', cook);
    expect(numberIn(other, 'boilOffMlPerHour')).not.toBeCloseTo((21 / 9) * ML_PER_CUP, 0);
  });

  it('says so when the burner of the kit is too weak, and refuses one that was said', async () => {
    const reply = await talk.ask('/water fat:60kg vessel:100qt', speaking);
    expect(said(reply)).toContain('too weak');
    const refusal = await talk.refuse('/water fat:60kg vessel:150qt burner:900W');
    expect(refusal.title).toContain('too weak');
    expect(refusal.text).not.toContain('saved');
  });

  it('names the vessels there are when one is not among them', async () => {
    const refusal = await talk.refuse('/water fat:5lb vessel:bucket', speaking);
    expect(refusal.text).toContain('canner, small pot, stock pot');
  });
});

describe('/water and nonsense', () => {
  it.each([
    ['altitude:"20 km"', '6000 m'],
    ['altitude:5280', '5280 ft'],
    ['vessel:"10 ml"', '1 qt'],
    ['vessel:"1 qt"', 'loads'],
    ['lean:100%', '0 to 90'],
    ['gauge:10psi', 'pressure'],
    ['gauge:40psi method:pressure', '20 psi'],
    ['burner:0W', '100 W'],
    ['water-temperature:20', '20 °F'],
  ])('refuses 10 lb with %s', async (options, words) => {
    const refusal = await talk.refuse(`/water fat:10lb ${options}`);
    expect(refusal.text).toContain(words);
    expect(refusal.text).not.toContain('saved');
  });
});
