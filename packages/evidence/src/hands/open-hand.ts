import { fit, logEvidenceOf } from '../infer/fit.ts';
import { openParticles, type Particles, portionOf, putPortion } from '../infer/particles.ts';
import { stirred } from '../infer/stir.ts';
import { type Model, prepare } from '../model/model.ts';
import type { Problem } from '../problem.ts';
import { ended } from '../steps.ts';
import type { Errand, Found, StirFound, StirWork } from './work.ts';

/** Opens a hand in the thread that is to be one: what answers its errands, each at once. */
export function openHand(): (errand: Errand) => Found[keyof Found] {
  let problem: Problem | undefined;
  let bench: Bench | undefined;
  return ({ problem: given, work }) => {
    if (given) [problem, bench] = [given, undefined];
    if (!problem) throw new Error('a hand needs to be told the problem first');
    switch (work.do) {
      case 'stir':
        if (!bench || !isFor(bench, work)) bench = openBench(problem, work);
        return stir(bench, work);
      case 'fit': {
        const { model: _, ...plain } = ended(fit(problem, work.settings));
        return plain;
      }
      case 'weigh':
        return ended(logEvidenceOf(problem, work.settings));
    }
  };
}

/** A problem made ready, with room for the particles of a fit. */
interface Bench {
  readonly model: Model;
  readonly particles: Particles;
}

function openBench(problem: Problem, { settings, stirring }: StirWork): Bench {
  const model = prepare(problem);
  return { model, particles: openParticles(model, settings, stirring) };
}

const isFor = ({ particles }: Bench, { settings }: StirWork): boolean =>
  particles.seed === settings.seed && particles.count === settings.particles;

function stir({ model, particles }: Bench, { fold, stirring, portion }: StirWork): StirFound {
  putPortion(particles, fold.from, portion);
  return {
    stirred: ended(stirred(model, particles, fold, stirring)),
    portion: portionOf(particles, fold),
  };
}
