import { log } from '@brinewright/nitrogen';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { mostLogLikelihood } from '../src/model/stages.ts';
import { likelihood, readied } from '../src/observe/reading.ts';
import type { Instrument, Observation } from '../src/problem.ts';
import { cards, seen } from './tank.ts';

const eye: Instrument = { form: 'eye', analyte: 'ammonia', offset: 0.1 };
const meter: Instrument = { form: 'meter', analyte: 'alkalinity', floor: 0.1, share: 0.02 };

/** Steps at both ends and between, diluted or not, a colour that may fail, an eye and a meter. */
const cases: [Observation, Instrument][] = [
  ...[0, 3, 6].map((step): [Observation, Instrument] => [seen(1, 'ammonia', step), cards.ammonia]),
  ...[0, 2, 5].map((step): [Observation, Instrument] => [
    { ...seen(2, 'nitrite', step), dilution: step === 2 ? 10 : 1 },
    cards.nitrite,
  ]),
  [seen(3, 'nitrate', 2), cards.nitrate],
  [{ day: 4, instrument: 3, low: 0.2, high: 0.6, shown: 0.4, dilution: 1 }, eye],
  [{ day: 5, instrument: 4, low: 2.4, high: 2.4, shown: 2.4, dilution: 1 }, meter],
];

const level = fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true }));
const eyes = fc.record({
  blur: fc.double({ min: 0.001, max: 2, noNaN: true }),
  tint: fc.double({ min: 0, max: 0.3, noNaN: true }),
  cross: fc.double({ min: 0, max: 15, noNaN: true }),
  bias: fc.double({ min: 0.5, max: 2, noNaN: true }),
});

it('never lets a reading be likelier than the most it is taken for', () => {
  const levels = fc.record({ ammonia: level, nitrite: level, nitrate: level, alkalinity: level });
  fc.assert(
    fc.property(fc.constantFrom(...cases), levels, eyes, ([observation, instrument], water, looking) => {
      const reading = readied(observation, instrument);
      const most = mostLogLikelihood(reading, looking.blur);
      expect(log(likelihood(reading, water, looking))).toBeLessThanOrEqual(most + 1e-12);
    }),
    { numRuns: 2000 },
  );
});

it('takes the most for what it is: all but a slip at an end of a card, less between the sharper the step is against the blur', () => {
  const end = readied(seen(1, 'ammonia', 0), cards.ammonia);
  const within = readied(seen(1, 'ammonia', 3), cards.ammonia);
  expect(mostLogLikelihood(end, 0.4)).toBeCloseTo(log(end.held + end.slipped), 12);
  // A step as wide as two deviations holds 0.6826894921 of a normal distribution.
  const width = within.high - within.low;
  expect(mostLogLikelihood(within, width / 2)).toBeCloseTo(
    log(within.held * 0.6826894921370859 + within.slipped),
    6,
  );
});
