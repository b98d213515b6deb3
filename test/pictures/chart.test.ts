import { expect, it } from 'vitest';
import { markRadius } from '../../src/pictures/chart.js';

// Of two discs the eye compares the areas (Cleveland and McGill 1984), so the radius goes with the root of the weight.
it('four times the fat is a mark of four times the area', () => {
  expect(markRadius(4000) / markRadius(1000)).toBeCloseTo(2, 10);
});

it('a mark is never too small to see nor so large that it hides others', () => {
  expect([markRadius(1), markRadius(1_000_000)]).toEqual([2.5, 12]);
});
