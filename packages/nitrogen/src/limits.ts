/** Constants of the integrator, shared by its TypeScript and its WebAssembly form (wasm/kernel.ts). */

/** mg N/L below which ammonia, and nitrite, count as cleared. */
export const clearLevel = 0.1;
/** mg N/L that must have been put in or set free before clear water means anything. */
export const leastFreed = 0.5;
/** Days the water must stay clear. */
export const stayClear = 1;

/** Alkalinity of normal water, meq/L, at which ammonia oxidation has its usual rate. */
export const normalAlkalinity = 2.3;
/** Fastest first-order decay resolved, 1/d; half-saturations are widened to keep below it. */
export const fastestDecay = 80;
/** Least that a trace decays in a step, as rate times days, for the step to follow its decay: less is followed well without. */
export const leastDecay = 0.2;
/** Halvings of a step until it is known when a level passed the clear level. */
export const crossingHalvings = 10;
/** Half-saturations of uptake by algae, mg N/L of ammonia and of nitrate, and nitrate's share in it. */
export const algaeHalfAmmonia = 0.05;
export const algaeHalfNitrate = 0.1;
export const algaeNitrateShare = 0.025;
/** Day on which nitrate loss sets in, and days until it is whole. */
export const denitrifyFrom = 20;
export const denitrifyOver = 40;
/** Share below which what is asleep counts as awake. */
export const leastAsleep = 1e-6;

/** mg N/L, or meq/L, below which a level counts as nothing: numbers smaller still would make arithmetic slow. */
export const leastLevel = 1e-14;

/** Steps, d. One after a stop starts no longer than `longestFreshStep`. */
export const firstStep = 0.02;
export const longestStep = 1;
/** Most that organic matter may decay in a step, as rate times days: beyond 2.8 the method would not be stable. */
export const mostDecay = 2;
export const longestFreshStep = 0.1;
export const shortestStep = 1e-7;
