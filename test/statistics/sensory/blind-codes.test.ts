import { randomInt } from 'node:crypto';
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blindSheet, oddCode } from '../../../src/statistics/sensory/blind-codes.js';
import { rankingOrders, triangleOrders } from '../../../src/statistics/sensory/serving-orders.js';
import { uniform } from '../seeded.js';

const random = (below: number) => randomInt(below);

describe('blind codes', () => {
  it('have three digits and never repeat in a sheet', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 150 }), fc.integer({ min: 3, max: 6 }), (assessors, products) => {
        const codes = blindSheet(rankingOrders(products, assessors, random), random)
          .flat()
          .map(({ code }) => code);
        expect(codes.length).toBe(assessors * products);
        expect(new Set(codes).size).toBe(codes.length);
        for (const code of codes) expect(code).toMatch(/^[1-9]\d\d$/);
      }),
    );
  });

  it('keep every cup in its place', () => {
    const orders = triangleOrders(24, random);
    expect(blindSheet(orders, random).map((cups) => cups.map(({ product }) => product))).toEqual(orders);
  });

  it('say nothing of what is in the cup: every code is as likely for either product', () => {
    const number = uniform(90);
    const draw = (below: number) => Math.floor(below * number());
    const counts = [0, 1].map(() => new Array<number>(900).fill(0));
    for (let tasting = 0; tasting < 1500; tasting += 1)
      for (const { code, product } of blindSheet(triangleOrders(24, draw), draw).flat()) {
        const row = counts[product];
        const at = Number(code) - 100;
        if (row !== undefined) row[at] = (row[at] ?? 0) + 1;
      }
    for (const row of counts) {
      const expected = row.reduce((sum, count) => sum + count, 0) / 900;
      const statistic = row.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
      expect(1 - chisquareCdf(statistic, 899)).toBeGreaterThan(0.001);
    }
  });

  it('are others each time, even for the same tasting', () => {
    const orders = triangleOrders(24, random);
    const sheet = () => JSON.stringify(blindSheet(orders, random));
    expect(new Set(Array.from({ length: 20 }, sheet)).size).toBe(20);
  });

  it('run out at 900 cups', () => {
    const cups = (count: number) => Array.from({ length: count }, () => [0]);
    expect(
      new Set(
        blindSheet(cups(900), random)
          .flat()
          .map(({ code }) => code),
      ).size,
    ).toBe(900);
    expect(() => blindSheet(cups(901), random)).toThrow(RangeError);
  });

  it('tell who pours which cup of a triangle is the odd one', () => {
    for (const cups of blindSheet(triangleOrders(12, random), random)) {
      const odd = cups.find(({ code }) => code === oddCode(cups));
      expect(cups.filter(({ product }) => product === odd?.product)).toHaveLength(1);
    }
    expect(() => oddCode([{ code: '123', product: 0 }])).toThrow(RangeError);
    expect(() => oddCode([0, 1, 2].map((product) => ({ code: `10${product}`, product })))).toThrow(
      RangeError,
    );
  });
});
