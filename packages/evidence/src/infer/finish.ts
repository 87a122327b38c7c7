import type { Model } from '../model/model.ts';
import type { Particles } from './particles.ts';
import type { FitSettings, Posterior } from './posterior.ts';
import type { Moved } from './spread.ts';

interface Ending {
  readonly levels: number;
  readonly moved: Moved;
  readonly settled: boolean;
  readonly warnings?: readonly string[];
}

/** What particles come to after their last moves. */
export function finish(
  model: Model,
  settings: FitSettings,
  { count, scores, logLikelihoods, round, share }: Particles,
  logEvidence: number,
  { levels, moved, settled, warnings = [] }: Ending,
): Posterior {
  const doubts = moved.acceptance < 0.05 ? ['few moves were taken: the particles may be too alike'] : [];
  return {
    model,
    settings,
    scores,
    logLikelihoods,
    logEvidence,
    onward: { round, share, settled },
    diagnostics: {
      effectiveSamples: (count * (1 - moved.remembered)) / (1 + moved.remembered),
      acceptance: moved.acceptance,
      levels,
      solves: model.solves(),
      evaluations: model.evaluations(),
      warnings: [...warnings, ...doubts],
    },
  };
}
