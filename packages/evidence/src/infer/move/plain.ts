import { valueAt } from '@brinewright/nitrogen';
import { solveLower } from '../../numbers/cholesky.ts';
import { lanes, putParticle, takeParticle } from '../../numbers/fours.ts';
import { normalOf } from '../../numbers/normal.ts';
import { keyed, Random } from '../../numbers/random.ts';
import { freedom, referenceLogDensity } from '../cloud.ts';
import { lean } from '../shear.ts';
import type { Mover, MoverShape, Shape } from './shape.ts';

/** Minus half the squared length: the log prior of standard normal scores. */
const logPrior = (scores: Float64Array): number =>
  -0.5 * scores.reduce((sum, score) => sum + score * score, 0);

/** Moves one particle at a time in double precision. */
export function plainMover({ priors, capacity: asked }: MoverShape): Mover {
  const size = priors.length;
  const capacity = Math.ceil(asked / lanes) * lanes;
  const table = (width: number): Float32Array => new Float32Array(capacity * width);
  const [here, proposals, values] = [table(size), table(size), table(size)];
  const [gammas, gains] = [table(1).fill(1), table(1)];
  const [from, to, along, straight] = Array.from({ length: 4 }, () => new Float64Array(size));
  const random = new Random();
  let shape: Shape | undefined;

  const tell = (particle: number): void => {
    putParticle(to!, 0, proposals, particle, size);
    for (let i = 0; i < size; i++) along![i] = valueAt(priors[i]!, to![i]!);
    putParticle(along!, 0, values, particle, size);
  };
  const begin = (particle: number, word: number, key: number): void => {
    takeParticle(here, particle, from!, 0, size);
    random.fill(keyed(word, key + particle));
  };
  return {
    here,
    proposals,
    values,
    gammas,
    gains,
    takeShape(taken) {
      shape = taken;
    },
    propose(count, share, word, key) {
      const { cloud, leanings } = shape!;
      for (let particle = 0; particle < count; particle++) {
        begin(particle, word, key);
        straight!.set(from!);
        lean(leanings, priors, straight!, -1);
        for (let i = 0; i < size; i++) straight![i] = straight![i]! - cloud.mean[i]!;
        const before = solveLower(cloud.lower, size, straight!, along!);
        const reach = Math.sqrt((freedom + before) / (2 * gammas[particle]!));
        let after = 0;
        for (let i = 0; i < size; i++) {
          const moved = random.uniform() < share;
          const fresh = reach * normalOf(random.uniform());
          if (moved) along![i] = fresh;
          after += along![i]! ** 2;
        }
        for (let i = 0; i < size; i++) {
          let sum = cloud.mean[i]!;
          for (let j = 0; j <= i; j++) sum += cloud.lower[i * size + j]! * along![j]!;
          to![i] = sum;
        }
        lean(leanings, priors, to!, 1);
        const reference = referenceLogDensity(cloud, after) - referenceLogDensity(cloud, before);
        gains[particle] = logPrior(to!) - logPrior(from!) - reference;
        tell(particle);
      }
    },
  };
}
