import { lognormal, valueAt } from '@brinewright/nitrogen';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lanes, startOf } from '../src/numbers/fours.ts';
import { plainWeigher } from '../src/observe/plain.ts';
import { readied } from '../src/observe/reading.ts';
import { type Weigher, type WeigherShape, waterWidth } from '../src/observe/shape.ts';
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
  eyes: [
    lognormal(0.3, 0.4),
    lognormal(0.06, 0.9),
    lognormal(3, 1),
    ...instruments.map(() => lognormal(1, 0.2)),
  ],
  capacity: 10,
};

const level = fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true }));
const score = fc.double({ min: -2.5, max: 2.5, noNaN: true });
const particle = fc.record({
  water: fc.array(level, { minLength: waterWidth(shape), maxLength: waterWidth(shape) }),
  scores: fc.array(score, { minLength: shape.eyes.length, maxLength: shape.eyes.length }),
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

const take = (table: Float32Array, particle: number, width: number): number[] =>
  Array.from({ length: width }, (_, i) => table[startOf(particle, width) + lanes * i]!);

/** Weighs particles whose eyes are what their scores come to, and lets them look again; returns log likelihoods before. */
function weighAndLook(
  weigher: Weigher,
  particles: readonly { water: readonly number[]; scores: readonly number[] }[],
  word: number,
): number[] {
  for (const [i, { water, scores }] of particles.entries()) {
    put(weigher.waters, i, water);
    put(weigher.scores, i, scores);
    put(
      weigher.eyes,
      i,
      scores.map((value, eye) => valueAt(shape.eyes[eye]!, Math.fround(value))),
    );
  }
  weigher.widths.fill(0.5);
  weigher.weigh(0, particles.length);
  const before = [...weigher.logLikelihoods.subarray(0, particles.length)];
  weigher.lookAgain(0, particles.length, { turns: 6, temperature: 0.7, word });
  return before;
}

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

  it('take the same other eyes, but where chance decides by a hair', () => {
    let [tried, apart, moved] = [0, 0, 0];
    fc.assert(
      fc.property(
        fc.array(particle, { minLength: 1, maxLength: shape.capacity }),
        fc.integer(),
        (particles, word) => {
          for (const weigher of [vector!, plain]) weighAndLook(weigher, particles, word);
          for (const [i, { scores }] of particles.entries()) {
            const [ours, theirs] = [vector!, plain].map((one) => take(one.scores, i, shape.eyes.length));
            const off = Math.max(...ours!.map((value, eye) => Math.abs(value - theirs![eye]!)));
            tried++;
            if (off > 1e-3) apart++;
            if (ours!.some((value, eye) => value !== Math.fround(scores[eye]!))) moved++;
          }
        },
      ),
      { seed: 20_261_126, numRuns: 300 },
    );
    expect(apart / tried).toBeLessThan(0.005);
    expect(moved / tried).toBeGreaterThan(0.3);
  });

  it.each([
    ['in vectors', vector],
    ['one by one', plain],
  ])('leave eyes, scores and log likelihoods that belong together, %s', (_, weigher) => {
    fc.assert(
      fc.property(
        fc.array(particle, { minLength: 1, maxLength: shape.capacity }),
        fc.integer(),
        (particles, word) => {
          weighAndLook(weigher!, particles, word);
          const told = [...weigher!.logLikelihoods.subarray(0, particles.length)];
          for (const i of particles.keys())
            for (const [eye, value] of take(weigher!.eyes, i, shape.eyes.length).entries()) {
              const scored = valueAt(shape.eyes[eye]!, take(weigher!.scores, i, shape.eyes.length)[eye]!);
              expect(Math.abs(value / scored - 1)).toBeLessThan(1e-5);
            }
          weigher!.weigh(0, particles.length);
          for (const [i, value] of told.entries())
            expect(Math.abs(weigher!.logLikelihoods[i]! - value)).toBeLessThan(1e-4);
        },
      ),
      { seed: 20_261_127, numRuns: 100 },
    );
  });
});
