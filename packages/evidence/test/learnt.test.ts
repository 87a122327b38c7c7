import { describe, expect, it } from 'vitest';
import { together } from '../src/index.ts';

const usual = { shape: 'normal', centre: 0, spread: 0.2 } as const;

describe('what several fits say of one unknown', () => {
  it('is what one says where there is one, and the usual where none learnt anything', () => {
    const found = { ...usual, centre: 0.15, spread: 0.1 };
    expect(together(usual, [found]).centre).toBeCloseTo(0.15, 12);
    expect(together(usual, [found]).spread).toBeCloseTo(0.1, 12);
    expect(together(usual, [usual, { ...usual, spread: 0.25 }])).toEqual(usual);
    expect(together(usual, [])).toEqual(usual);
  });

  it('adds precisions, counting the prior once', () => {
    // Two measurements of 0.1 with sd 0.1, each seen through the prior N(0, 0.2²): together N(8/9·0.1, 1/225).
    const one = { ...usual, centre: 0.08, spread: 1 / Math.sqrt(125) };
    const both = together(usual, [one, one]);
    expect(both.centre).toBeCloseTo(0.8 / 9, 12);
    expect(both.spread).toBeCloseTo(1 / Math.sqrt(225), 12);
  });

  it('never says more than lots of a kit differ by', () => {
    const sharp = Array.from({ length: 50 }, () => ({ ...usual, centre: 0.1, spread: 0.05 }));
    expect(together(usual, sharp).spread).toBeCloseTo(0.06, 12);
  });
});
