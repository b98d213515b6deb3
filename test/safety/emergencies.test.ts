import { describe, expect, it } from 'vitest';
import {
  COOL_BURN_MINUTES,
  EMERGENCIES,
  type EmergencyName,
  emergencyIn,
  emergencyNamed,
} from '../../src/safety/emergencies.js';
import { keepOrThrow, STANDING_HOURS } from '../../src/safety/stood-out.js';

const NAMES = Object.keys(EMERGENCIES) as EmergencyName[];
const textOf = (name: EmergencyName) =>
  [EMERGENCIES[name].first, ...EMERGENCIES[name].next, ...EMERGENCIES[name].more].join(' ');
const shownFirst = (name: EmergencyName) => [EMERGENCIES[name].first, ...EMERGENCIES[name].next].join(' ');

describe('what to do in an emergency', () => {
  it.each(NAMES)('is short, and the first act comes first: %s', (name) => {
    const { first, next, sources } = EMERGENCIES[name];
    expect(first.split(' ').length).toBeLessThanOrEqual(12);
    expect([first, ...next].join(' ').split(/\s+/).length).toBeLessThanOrEqual(50);
    expect(sources.length).toBeGreaterThan(0);
    expect(textOf(name)).not.toMatch(/!|(?<![\d,])(?:911|999|112|000)\b/);
  });

  // NFPA, Cooking Oil Safety: slide a lid over, turn the heat off, leave it covered until cool, do not move it, never water;
  // if it does not go out, get out and call. Cooking fire safety tips: close the door behind you.
  it('smothers a fire, never wets it, and gets people out', () => {
    expect(EMERGENCIES.fire.first).toMatch(/lid.*heat off.*never water/i);
    expect(shownFirst('fire')).toMatch(/not move.*cold.*everyone out.*door.*your emergency number/is);
  });

  // NFPA 10: class K is for cooking fats. EN 2 and AS/NZS 1850 call it class F (from memory).
  it('names the extinguisher for cooking fat by its class here and elsewhere', () => {
    expect(textOf('fire')).toContain('Class K (Class F in Europe and Australia)');
  });

  // Burn associations and hospitals: 20 minutes of cool running water, no ice, butter or cream; rings and clothing off
  // unless stuck; help for what is larger than 3 cm, deep, on face, hands or groin, or on a child.
  it('cools a burn with running water, which takes the fat off too', () => {
    expect(COOL_BURN_MINUTES).toBe(20);
    expect(EMERGENCIES.burn.first).toMatch(/cool running water.*20 minutes/i);
    expect(shownFirst('burn')).toMatch(/rinse the fat off.*rings.*unless stuck.*no ice, no butter/is);
    expect(textOf('burn')).not.toMatch(/wipe/);
    expect(textOf('burn')).toMatch(/3 cm.*hands.*groin.*child/is);
  });

  // NFPA, Cooking Oil Safety: at wisps of smoke turn the burner off; when it bubbles and froths take the heat away at once.
  it.each(['smoke', 'boiling over'] as const)('takes the heat away before anything else: %s', (name) => {
    expect(EMERGENCIES[name].first).toMatch(/^Heat off now/);
  });

  // IAPWS-IF97 with ISO 2533: water boils at 211.95 °F at sea level and 199.17 °F at 7,000 ft; less 10 °F, our own margin.
  it('keeps water out of fat that is hotter than water boils there', () => {
    expect(textOf('popping')).toMatch(/200 °F \(93 °C\), less high up: 189 °F \(87 °C\) at 7,000 ft/);
  });

  // US CPSC: carbon monoxide from charcoal and smokers; fresh air first.
  it('thinks of carbon monoxide where something smokes', () => {
    expect(textOf('smoke')).toMatch(/headache.*fresh air/i);
  });

  it.each([
    ['grease fire', 'fire'],
    ['my pot is on fire', 'fire'],
    ['help, the oven caught fire', 'fire'],
    ['I burned my hand', 'burn'],
    ['hot fat on my arm', 'burn'],
    ['burnt', 'burn'],
    ['it is boiling over', 'boiling over'],
    ['the pan is smoking', 'smoke'],
    ['it keeps popping and spitting', 'popping'],
    ['I spilled hot fat on the floor', 'spill'],
    ['I must leave', 'must leave'],
    ['I left it out all night', 'stood out'],
    ['the broth stood out', 'stood out'],
  ] as const)('is heard in “%s”', (said, name) => {
    expect(emergencyIn(said)).toBe(name);
  });

  it.each([
    'how much water for 4 lb of fat',
    'smoke 6 cups of tallow heavy',
    'it tastes burnt',
    'burner 1800 W',
    'campfire songs',
    'how long does tallow keep',
  ])('is not heard in “%s”', (said) => {
    expect(emergencyIn(said)).toBeUndefined();
  });

  it.each([
    ['fyre', 'fire'],
    ['fier', 'fire'],
    ['brun', 'burn'],
    ['scalded', 'burn'],
    ['smoking', 'smoke'],
    ['boilling over', 'boiling over'],
    ['poping', 'popping'],
    ['spil', 'spill'],
    ['leaving', 'must leave'],
    ['stood-out', 'stood out'],
    ...NAMES.map((name) => [name, name] as const),
  ] as const)('is read where somebody says what happens: %s', (said, name) => {
    expect(emergencyNamed(said)).toBe(name);
  });
});

describe('what stood out', () => {
  // USDA FSIS, Danger Zone: 2 hours at most, 1 hour above 90 °F. Food Code 3-501.14 speaks of cooling, not of standing.
  it('is kept or thrown away by the two-hour rule, the one-hour rule where it is hot', () => {
    expect(STANDING_HOURS).toEqual({ usual: 2, hot: 1 });
    expect(keepOrThrow('short')).toBe('keep');
    expect(keepOrThrow('middle')).toBeUndefined();
    expect(keepOrThrow('middle', 'usual')).toBe('keep');
    expect(keepOrThrow('middle', 'hot')).toBe('throw');
    expect(keepOrThrow('long')).toBe('throw');
  });
});
