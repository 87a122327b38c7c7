import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lanes, startOf } from '../src/numbers/fours.ts';
import { plainWeigher } from '../src/observe/plain.ts';
import { readied } from '../src/observe/reading.ts';
import { type WeigherShape, waterWidth } from '../src/observe/shape.ts';
import { vectorWeigher } from '../src/observe/vector.ts';
import type { Instrument } from '../src/problem.ts';
import { cards, seen } from './tank.ts';

const instruments: Instrument[] = [
  cards.ammonia,
  cards.nitrite,
  cards.nitrate,
  { form: 'eye', analyte: 'ammonia', offset: 0.1 },
  { form: 'meter', analyte: 'nitrate', floor: 0.2, share: 0.1 },
  { form: 'meter', analyte: 'alkalinity', floor: 0.1, share: 0.02 },
];

/** Every step of every card, diluted or not, an eye, and two meters: at five instants, the fourth with a deed. */
const observations = [
  ...[0, 3, 6].map((step) => seen(1, 'ammonia', step)),
  ...[0, 2, 5].map((step) => ({ ...seen(2, 'nitrite', step), dilution: step === 2 ? 10 : 1 })),
  ...[0, 1, 5].map((step) => seen(3, 'nitrate', step)),
  { day: 4, instrument: 3, low: 0.2, high: 0.6, shown: 0.4, dilution: 1, doubt: 0.5 },
  { day: 4, instrument: 4, low: 3, high: 3, shown: 3, dilution: 2 },
  { day: 5, instrument: 5, low: 2.4, high: 2.4, shown: 2.4, dilution: 1 },
];
const shape: WeigherShape = {
  readings: observations.map((one) => readied(one, instruments[one.instrument]!)),
  occasions: [
    { day: 0, end: 3, before: 0, after: 0 },
    { day: 1, end: 6, before: 1, after: 1 },
    { day: 2, end: 9, before: 2, after: 2 },
    { day: 3, end: 11, before: 3, after: 4 },
    { day: 5, end: 12, before: 5, after: 5 },
  ],
  rows: 6,
  instruments: instruments.length,
  capacity: 10,
};

const level = fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true }));
const particle = fc.record({
  water: fc.array(level, { minLength: waterWidth(shape), maxLength: waterWidth(shape) }),
  eyes: fc.tuple(
    fc.double({ min: 0.05, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 0.3, noNaN: true }),
    fc.double({ min: 0, max: 15, noNaN: true }),
    ...instruments.map(() => fc.double({ min: 0.5, max: 2, noNaN: true })),
  ),
});

/** Writes a particle's numbers where a weigher keeps them. */
const put = (table: Float32Array, particle: number, numbers: readonly number[]): void => {
  for (const [i, number] of numbers.entries()) table[startOf(particle, numbers.length) + lanes * i] = number;
};

describe('the two weighers', () => {
  const vector = vectorWeigher(shape);
  const plain = plainWeigher(shape);

  it('agree', () => {
    expect(vector, 'this runtime has no WebAssembly vectors').not.toBeNull();
    fc.assert(
      fc.property(fc.array(particle, { minLength: 1, maxLength: shape.capacity }), (particles) => {
        for (const weigher of [vector!, plain]) {
          for (const [i, { water, eyes }] of particles.entries()) {
            put(weigher.waters, i, water);
            put(weigher.eyes, i, eyes);
          }
          weigher.weigh(0, particles.length);
        }
        for (const i of particles.keys()) {
          const expected = plain.logLikelihoods[i]!;
          expect(Math.abs(vector!.logLikelihoods[i]! - expected)).toBeLessThan(1e-3);
        }
      }),
      { seed: 20_260_301, numRuns: 300 },
    );
  });

  it('give a particle the same to the last bit wherever it stands', () => {
    const water = Array.from({ length: waterWidth(shape) }, (_, i) => (i * 7) % 5);
    const eyes = [0.3, 0.05, 2, 1, 1.1, 0.9, 1, 1, 1];
    const found = Array.from({ length: shape.capacity }, (_, place) => {
      put(vector!.waters, place, water);
      put(vector!.eyes, place, eyes);
      vector!.weigh(place, place + 1);
      return vector!.logLikelihoods[place];
    });
    expect(new Set(found).size).toBe(1);
  });
});
