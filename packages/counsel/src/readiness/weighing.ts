/**
 * When to stop testing. To call a tank ready that is not costs its animals; to run one more challenge costs days. Both are
 * put in days of waiting, so that it can be seen, and argued, what one is worth in the other.
 */

/** Days of waiting that one tank wrongly called ready is as bad as. */
export const harmDays = 100;
/** Days one more challenge takes. */
const runDays = 2;
/**
 * Share of the remaining doubt that one more challenge settles: a card whose first colour is 0.25 tells little of 0.1. It
 * does not fall with challenges passed: water that stays just above the limit passes a row of them by such a card.
 */
const settled = 1 / 3;

/** Whether the harm that one more challenge would avert is no longer worth its days. */
export const sureEnough = (chance: number): boolean => (1 - chance) * settled * harmDays <= runDays;
