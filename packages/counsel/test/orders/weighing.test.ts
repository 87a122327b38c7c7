import { describe, expect, it } from 'vitest';
import { sureEnough } from '../../src/readiness/weighing.ts';

describe('whether another challenge is worth its days', () => {
  it('is never asked before two were passed in a row', () => {
    expect(sureEnough(1, 0)).toBe(false);
    expect(sureEnough(1, 1)).toBe(false);
  });

  it('takes 94 in 100 after two, and less where more of them left the same doubt', () => {
    expect(sureEnough(0.935, 2)).toBe(false);
    expect(sureEnough(0.945, 2)).toBe(true);
    expect(sureEnough(0.875, 3)).toBe(false);
    expect(sureEnough(0.885, 3)).toBe(true);
    expect(sureEnough(0.815, 4)).toBe(false);
    expect(sureEnough(0.825, 4)).toBe(true);
  });
});
