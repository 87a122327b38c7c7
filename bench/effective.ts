/** What one run of a sampler found: means and variances of the scores, at what cost. */
export interface Run extends Moments {
  /** Processor seconds. */
  readonly seconds: number;
  readonly evaluations: number;
}

export interface Moments {
  readonly means: readonly number[];
  readonly variances: readonly number[];
}

/** What the runs of a sampler are worth. */
export interface Worth {
  /** Effective samples of a run: 1 / mean over runs of the squared error of its means. */
  readonly effective: number;
  /** Standard error of that over the runs, as a share of it. */
  readonly doubt: number;
  readonly seconds: number;
  readonly evaluations: number;
  /** Distance of the mean of all runs from the reference, and spread found, in the reference's deviations. */
  readonly shift: number;
  readonly spread: number;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Means and variances of scores, shape (particles, size). */
export function momentsOf(scores: Float64Array, size: number): Moments {
  const count = scores.length / size;
  const means = new Array<number>(size).fill(0);
  const variances = new Array<number>(size).fill(0);
  for (const [i, score] of scores.entries()) means[i % size]! += score / count;
  for (const [i, score] of scores.entries()) variances[i % size]! += (score - means[i % size]!) ** 2 / count;
  return { means, variances };
}

/** Squared distance of means from the reference's, in its variances, averaged over coordinates. */
export const squaredError = (means: readonly number[], reference: Moments): number =>
  mean(means.map((value, i) => (value - reference.means[i]!) ** 2 / reference.variances[i]!));

export function worthOf(runs: readonly Run[], reference: Moments): Worth {
  const errors = runs.map(({ means }) => squaredError(means, reference));
  const effective = 1 / mean(errors);
  const deviations = errors.map((error) => (error * effective - 1) ** 2);
  const pooled = (of: (run: Run) => readonly number[]): number[] =>
    reference.means.map((_, i) => mean(runs.map((run) => of(run)[i]!)));
  const variances = pooled((run) => run.variances);
  return {
    effective,
    doubt: Math.sqrt(mean(deviations) / (runs.length - 1)),
    seconds: mean(runs.map((run) => run.seconds)),
    evaluations: mean(runs.map((run) => run.evaluations)),
    shift: Math.sqrt(
      squaredError(
        pooled((run) => run.means),
        reference,
      ),
    ),
    spread: mean(variances.map((variance, i) => Math.sqrt(variance / reference.variances[i]!))),
  };
}
