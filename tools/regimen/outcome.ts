/** How one start ended. */
export interface Outcome {
  /** Day the keeper called the tank ready; the last day where they never did. */
  readonly day: number;
  readonly finished: boolean;
  /** Tests of one analyte. */
  readonly tests: number;
  /** mg N/L poured in all. */
  readonly ammonia: number;
  /** Called ready though the tank did not carry the planned animals' challenge. */
  readonly wrong: boolean;
  /** Hours above 0.02 mg NH3-N/L in the three weeks after the animals came. */
  readonly exposure: number;
}

export const lastDay = 100;
