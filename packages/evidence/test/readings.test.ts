import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  betweenInterval,
  cardOffset,
  type Instrument,
  readingLogLikelihood,
  stepInterval,
  valueInterval,
} from '../src/index.ts';
import { cards, seen } from './tank.ts';

const eyes = { blur: 0.35, tint: 0.06, cross: 17, bias: 1 };
const water = { ammonia: 0.5, nitrite: 0.3, nitrate: 2, alkalinity: 2.3 };

function chancesOfSteps(
  card: Extract<Instrument, { form: 'card' }>,
  levels: typeof water,
  dilution = 1,
): number[] {
  return card.steps.map((_, step) => {
    const { low, high } = stepInterval(card.steps, step);
    const observation = { day: 0, instrument: 0, low, high, shown: low, dilution };
    return Math.exp(readingLogLikelihood(observation, card, levels, eyes));
  });
}

describe('a card', () => {
  it('gives chances that add up to one, whatever the water and the dilution', () => {
    const level = fc.double({ min: 0, max: 30, noNaN: true });
    fc.assert(
      fc.property(
        level,
        level,
        level,
        fc.integer({ min: 1, max: 20 }),
        (ammonia, nitrite, nitrate, dilution) => {
          const levels = { ammonia, nitrite, nitrate, alkalinity: 2 };
          for (const card of Object.values(cards)) {
            const sum = chancesOfSteps(card, levels, dilution).reduce((total, chance) => total + chance, 0);
            // A failed nitrite colour never shows the ends, so its share is spread over the rest.
            expect(sum).toBeCloseTo(1, 9);
          }
        },
      ),
      { seed: 41, numRuns: 200 },
    );
  });

  it('reads nitrite as nitrate', () => {
    const with0 = chancesOfSteps(cards.nitrate, { ...water, nitrite: 0 });
    const with1 = chancesOfSteps(cards.nitrate, { ...water, nitrite: 1 });
    expect(with1.at(-1)!).toBeGreaterThan(with0.at(-1)! + 0.3);
  });

  it('says of zero only that the level is below half the first step', () => {
    const [zero] = cards.ammonia.steps.map((_, step) => stepInterval(cards.ammonia.steps, step));
    expect(zero!.low).toBe(-Infinity);
    expect(zero!.high).toBeGreaterThan(0);
    expect(zero!.high).toBeLessThan(cards.ammonia.steps[1]!);
  });

  it('has steps that meet without gap or overlap', () => {
    for (const { steps } of Object.values(cards))
      for (let step = 1; step < steps.length; step++)
        expect(stepInterval(steps, step).low).toBe(stepInterval(steps, step - 1).high);
  });

  it('takes numbers between steps and beyond the card as what they are', () => {
    const { steps } = cards.nitrite;
    expect(valueInterval(steps, steps[2]!)).toEqual(stepInterval(steps, 2));
    expect(valueInterval(steps, 99)).toEqual({ low: steps.at(-1), high: Infinity });
    const between = valueInterval(steps, (steps[3]! + steps[4]!) / 2);
    expect(between.low).toBeGreaterThan(steps[3]!);
    expect(between.high).toBeLessThan(steps[4]!);
    const half = betweenInterval(steps[3]!, steps[4]!, cardOffset(steps));
    expect(half.low).toBeGreaterThan(steps[3]!);
    expect(half.high).toBeLessThan(steps[4]!);
  });
});

describe('a reading that may say nothing', () => {
  it('weighs less against the water than a sound one, and no less likely where it fits nothing', () => {
    const chanceOf = (step: number, doubt?: number): number =>
      Math.exp(
        readingLogLikelihood(
          { ...seen(3, 'ammonia', step), ...(doubt !== undefined && { doubt }) },
          cards.ammonia,
          { ammonia: 4, nitrite: 0, nitrate: 0, alkalinity: 2.5 },
          { blur: 0.2, tint: 0.02, cross: 1, bias: 1 },
        ),
      );
    const sound = chanceOf(5) / chanceOf(0);
    const doubted = chanceOf(5, 0.5) / chanceOf(0, 0.5);
    expect(doubted).toBeLessThan(sound / 10);
    expect(chanceOf(0, 0.5)).toBeCloseTo(0.5 / cards.ammonia.steps.length, 6);
  });
});

describe('a meter', () => {
  const meter: Instrument = { form: 'meter', analyte: 'ammonia', floor: 0.05, share: 0.08 };
  const density = (shown: number): number =>
    Math.exp(
      readingLogLikelihood(
        { day: 0, instrument: 0, low: shown, high: shown, shown, dilution: 1 },
        meter,
        water,
        eyes,
      ),
    );

  it('is likeliest at the level itself and keeps a floor for slips', () => {
    expect(density(0.5)).toBeGreaterThan(density(0.6));
    expect(density(9)).toBeGreaterThan(0);
    expect(density(9)).toBeLessThan(0.01);
  });
});
