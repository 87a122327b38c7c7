import { expect, it } from 'vitest';
import { inHundred } from '../src/chances.ts';

it.each([
  [0, 'under 1 in 100'],
  [0.009, 'under 1 in 100'],
  [0.01, '1 in 100'],
  [0.578, '57 in 100'],
  [0.999, '99 in 100'],
  [1, '99 in 100'],
])('says of a chance of %s no more than is so', (probability, said) => {
  expect(inHundred(probability)).toBe(said);
});
