import type { Fold } from '../infer/folds.ts';
import type { Portion } from '../infer/particles.ts';
import type { FitSettings, Posterior } from '../infer/posterior.ts';
import type { Stirred, Stirring } from '../infer/stir.ts';
import type { Problem } from '../problem.ts';

/** Work on a problem that another thread can do. Plain data, what comes of it too: it can be sent. */
export type Work =
  | StirWork
  /** A whole fit. */
  | { readonly do: 'fit'; readonly settings: Partial<FitSettings> }
  /** The logarithm of the marginal likelihood alone. */
  | { readonly do: 'weigh'; readonly settings: Partial<FitSettings> };

/** Moving the particles of a fold. */
export interface StirWork {
  readonly do: 'stir';
  readonly settings: FitSettings;
  readonly fold: Fold;
  readonly stirring: Stirring;
  readonly portion: Portion;
}

/** What comes of each kind of work. */
export interface Found {
  readonly stir: StirFound;
  readonly fit: PlainPosterior;
  readonly weigh: number;
}

export interface StirFound {
  readonly stirred: Stirred;
  readonly portion: Portion;
}

/** A posterior but for its model, which whoever knows the problem can prepare. */
export type PlainPosterior = Omit<Posterior, 'model'>;

/** What is sent: work, and the problem where it is not that of the errand before. */
export interface Errand {
  readonly problem: Problem | undefined;
  readonly work: Work;
}
