import { log, valueAt } from '@brinewright/nitrogen';
import { lanes, startOf } from '../numbers/fours.ts';
import { normalOf } from '../numbers/normal.ts';
import { keyed, Random } from '../numbers/random.ts';
import { type Eyes, type Levels, likelihood } from './reading.ts';
import {
  commonEyes,
  type Looks,
  levelNames,
  seenWidth,
  tryStrides,
  type Weigher,
  type WeigherShape,
  waterWidth,
} from './shape.ts';

/** Least that the likelihood of an instant's readings is taken for, as in single precision. */
const least = 1e-37;

const eyeOfBlur = commonEyes.indexOf('blur');

type Three = readonly [number, number, number];
const threeOf = (random: Random): Three => [random.uniform(), random.uniform(), random.uniform()];

/** Weighs one reading at a time in double precision. */
export function plainWeigher(shape: WeigherShape): Weigher {
  const { readings, occasions, capacity } = shape;
  const [width, look] = [waterWidth(shape), shape.eyes.length];
  const room = Math.ceil(capacity / lanes) * lanes;
  const waters = new Float32Array(room * width);
  const [eyes, scores] = [new Float32Array(room * look), new Float32Array(room * look)];
  const widths = new Float32Array(look);
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
    return Array.from({ length: look - commonEyes.length }, (_, i) => ({
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
  const [own, leader] = [new Random(), new Random()];
  /** Tries other eyes for one particle; which, the first of its group says. */
  const lookOne = (particle: number, { turns, temperature, word }: Looks): void => {
    let current = logLikelihoods[particle]!;
    own.fill(keyed(word, particle));
    leader.fill(keyed(word, particle - (particle % lanes)));
    for (let turn = 0; turn < turns; turn++) {
      const [[, breadth, luck], [which]] = [own, leader].map(threeOf) as [Three, Three];
      const eye = turn === 0 ? eyeOfBlur : Math.floor(which * look);
      const at = startOf(particle, look) + lanes * eye;
      const [stood, before] = [scores[at]!, eyes[at]!];
      scores[at] = stood + tryStrides[turn % 2]! * widths[eye]! * normalOf(breadth);
      eyes[at] = valueAt(shape.eyes[eye]!, scores[at]!);
      const found = weighOne(particle, 0, occasions.length);
      const gain = temperature * (found - current) + 0.5 * (stood ** 2 - scores[at]! ** 2);
      if (log(luck) < gain) current = found;
      else [scores[at], eyes[at]] = [stood, before];
    }
    logLikelihoods[particle] = current;
  };
  return {
    waters,
    eyes,
    scores,
    seen: new Float32Array(room * seenWidth(shape)),
    widths,
    logLikelihoods,
    weigh(first, last, from = 0, until = occasions.length) {
      for (let particle = first; particle < last; particle++)
        logLikelihoods[particle] = weighOne(particle, from, until);
    },
    lookAgain(first, last, looks) {
      for (let particle = first; particle < last; particle++) lookOne(particle, looks);
    },
  };
}
