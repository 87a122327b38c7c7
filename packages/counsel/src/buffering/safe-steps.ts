/** Most that each may rise in a day with animals in the water. Customary practice, except where a source is named. */
export const safeStepPerDay = {
  /** meq/L, 1 dKH. */
  alkalinity: 0.36,
  /** mg/L. */
  calcium: 20,
  /** mg/L. */
  magnesium: 50,
} as const;

/** Aragonite saturation above which deposits on heaters and pumps are likely. Our judgement. */
export const DEPOSITS_ABOVE = 6;

/** Days a change must be spread over so that no day exceeds the step. */
export const daysFor = (change: number, stepPerDay: number): number =>
  Math.max(1, Math.ceil(Math.abs(change) / stepPerDay - 1e-9));
