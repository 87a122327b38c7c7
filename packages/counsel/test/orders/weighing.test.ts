import { expect, it } from 'vitest';
import { sureEnough } from '../../src/readiness/weighing.ts';

it('takes a chance of 94 in 100 to stop asking for another challenge', () => {
  expect(sureEnough(0.935)).toBe(false);
  expect(sureEnough(0.945)).toBe(true);
});
