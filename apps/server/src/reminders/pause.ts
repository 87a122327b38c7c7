const MINUTE = 60_000;

/** ms */
export const LONGEST_PAUSE = 60 * MINUTE;

/** How long to leave a push service alone that failed so many times, ms: twice as long each time. */
export const pauseAfter = (tries: number): number => Math.min(LONGEST_PAUSE, MINUTE * 2 ** tries);
