/**
 * When to stop testing. To call a tank ready that is not costs its animals; to run one more challenge costs days. Both are
 * put in days of waiting, so that it can be seen, and argued, what one is worth in the other.
 */

/** Days of waiting that one tank wrongly called ready is as bad as. */
export const harmDays = 100;
/** Days one more challenge takes. */
const runDays = 2;
/**
 * Share of the doubt two challenges left that a third settles: a card whose first colour is 0.25 tells little of 0.1. What
 * three in a row left open a fourth settles half as much of, and so on.
 */
const settled = 1 / 3;

/** Whether the harm that one more challenge would avert is no longer worth its days, after so many passed in a row. */
export const sureEnough = (chance: number, passed: number): boolean =>
  passed >= 2 && (1 - chance) * (settled / (passed - 1)) * harmDays <= runDays;
