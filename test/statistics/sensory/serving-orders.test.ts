import { randomInt } from 'node:crypto';
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  pairOrders,
  rankingOrders,
  type ServingOrder,
  triangleOrders,
} from '../../../src/statistics/sensory/serving-orders.js';
import { uniform } from '../seeded.js';

const random = (below: number) => randomInt(below);

/** A source that is the same at every run, for counting. */
function seeded(seed: number): (below: number) => number {
  const number = uniform(seed);
  return (below) => Math.floor(below * number());
}

function counted(orders: readonly ServingOrder[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const order of orders) counts.set(order.join(''), (counts.get(order.join('')) ?? 0) + 1);
  return counts;
}

/** P(χ² ≥ what was seen) when all kinds are as likely. */
function uniformity(counts: ReadonlyMap<string, number>, kinds: number): number {
  expect(counts.size).toBe(kinds);
  const total = [...counts.values()].reduce((sum, count) => sum + count, 0);
  const expected = total / kinds;
  const statistic = [...counts.values()].reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
  return 1 - chisquareCdf(statistic, kinds - 1);
}

describe('orders of a triangle', () => {
  it('come each once in every six assessors', () => {
    const orders = triangleOrders(60, random);
    for (let block = 0; block < 60; block += 6)
      expect([...counted(orders.slice(block, block + 6)).keys()].sort()).toEqual([
        '001',
        '010',
        '011',
        '100',
        '101',
        '110',
      ]);
  });

  it('are as many for either product as can be, whatever the number of assessors', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 80 }), (assessors) => {
        const orders = triangleOrders(assessors, random);
        expect(orders.length).toBe(assessors);
        const twoOfTheFirst = orders.filter((order) => order.filter((product) => product === 0).length === 2);
        expect(Math.abs(2 * twoOfTheFirst.length - assessors)).toBeLessThanOrEqual(1);
        const counts = [...counted(orders).values()];
        expect(Math.max(...counts) - (counts.length === 6 ? Math.min(...counts) : 0)).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('fall to every assessor alike, over 60 000 servings', () => {
    // each time the serving of one assessor of a tasting of 11, whose last five have no whole block
    const draw = seeded(60);
    for (const assessor of [0, 4, 8, 10]) {
      const servings = Array.from({ length: 15_000 }, () => triangleOrders(11, draw)[assessor] ?? []);
      expect(uniformity(counted(servings), 6)).toBeGreaterThan(0.001);
    }
  });

  it('do not follow from the order before', () => {
    const draw = seeded(61);
    const couples = Array.from({ length: 30_000 }, () => triangleOrders(6, draw).slice(2, 4).flat());
    expect(uniformity(counted(couples), 30)).toBeGreaterThan(0.001);
  });
});

describe('orders of a pair', () => {
  it('come each once in every two assessors, either first', () => {
    const orders = pairOrders(40, random);
    for (let block = 0; block < 40; block += 2)
      expect([...counted(orders.slice(block, block + 2)).keys()].sort()).toEqual(['01', '10']);
    const draw = seeded(62);
    for (const assessor of [0, 1, 2])
      expect(
        uniformity(counted(Array.from({ length: 20_000 }, () => pairOrders(3, draw)[assessor] ?? [])), 2),
      ).toBeGreaterThan(0.001);
  });
});

describe('orders of a ranking', () => {
  it('put each product at each place, and after each other one, equally often in every whole square', () => {
    for (const products of [3, 4, 5, 6]) {
      const block = products % 2 === 0 ? products : 2 * products;
      const orders = rankingOrders(products, 3 * block, random);
      for (let start = 0; start < orders.length; start += block) {
        const square = orders.slice(start, start + block);
        for (const order of square) expect([...order].sort()).toEqual([...Array(products).keys()]);
        const places = counted(square.flatMap((order) => order.map((product, place) => [place, product])));
        expect(new Set(places.values())).toEqual(new Set([block / products]));
        const followed = counted(
          square.flatMap((order) => order.slice(1).map((product, k) => [order[k] ?? -1, product])),
        );
        expect(followed.size).toBe(products * (products - 1));
        expect(new Set(followed.values())).toEqual(new Set([block / products]));
      }
    }
  });

  it('are dealt by chance: every order of three falls to an assessor alike', () => {
    const draw = seeded(63);
    const servings = Array.from({ length: 30_000 }, () => rankingOrders(3, 4, draw)[3] ?? []);
    expect(uniformity(counted(servings), 6)).toBeGreaterThan(0.001);
  });
});

describe('serving orders', () => {
  it('refuse tastings that cannot be, and a source of chance that is none', () => {
    expect(() => triangleOrders(0, random)).toThrow(RangeError);
    expect(() => pairOrders(2.5, random)).toThrow(RangeError);
    expect(() => rankingOrders(2, 6, random)).toThrow(RangeError);
    expect(() => rankingOrders(7, 6, random)).toThrow(RangeError);
    expect(() => triangleOrders(6, () => 0.3)).toThrow(RangeError);
    expect(() => triangleOrders(6, (below) => below)).toThrow(RangeError);
  });
});
