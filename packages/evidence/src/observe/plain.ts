import { log } from '@brinewright/nitrogen';
import { lanes, startOf } from '../numbers/fours.ts';
import { type Eyes, type Levels, likelihood } from './reading.ts';
import { eyeWidth, levelNames, type Weigher, type WeigherShape, waterWidth } from './shape.ts';

/** Least that the likelihood of an instant's readings is taken for, as in single precision. */
const least = 1e-37;

/** Weighs one reading at a time in double precision. */
export function plainWeigher(shape: WeigherShape): Weigher {
  const { readings, occasions, capacity, instruments } = shape;
  const [width, look] = [waterWidth(shape), eyeWidth(shape)];
  const room = Math.ceil(capacity / lanes) * lanes;
  const waters = new Float32Array(room * width);
  const eyes = new Float32Array(room * look);
  const logLikelihoods = new Float64Array(room);
  const part = (table: Float32Array, from: number, count: number): number[] =>
    Array.from({ length: count }, (_, i) => table[from + lanes * i]!);
  const levelsIn = (particle: number, row: number): Levels => {
    const from = startOf(particle, width) + lanes * row * levelNames.length;
    const [ammonia, nitrite, nitrate, alkalinity] = part(waters, from, levelNames.length);
    return { ammonia: ammonia!, nitrite: nitrite!, nitrate: nitrate!, alkalinity: alkalinity! };
  };
  const eyesOf = (particle: number): Eyes[] => {
    const [blur, tint, cross, ...biases] = part(eyes, startOf(particle, look), look);
    return Array.from({ length: instruments }, (_, i) => ({
      blur: blur!,
      tint: tint!,
      cross: cross!,
      bias: biases[i]!,
    }));
  };
  const weighOne = (particle: number, from: number, until: number): number => {
    const seenBy = eyesOf(particle);
    let sum = 0;
    let first = occasions[from - 1]?.end ?? 0;
    for (const { end, before, after } of occasions.slice(from, until)) {
      const chance = (row: number): number =>
        readings
          .slice(first, end)
          .reduce(
            (product, one) => product * likelihood(one, levelsIn(particle, row), seenBy[one.instrument]!),
            1,
          );
      const either = after === before ? chance(before) : 0.5 * (chance(before) + chance(after));
      sum += log(Math.max(either, least));
      first = end;
    }
    return sum;
  };
  return {
    waters,
    eyes,
    logLikelihoods,
    weigh(first, last, from = 0, until = occasions.length) {
      for (let particle = first; particle < last; particle++)
        logLikelihoods[particle] = weighOne(particle, from, until);
    },
  };
}
