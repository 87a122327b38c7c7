import type { Model } from '../model/model.ts';

/** How far a fit has come; `fraction` never falls. */
export interface Progress {
  readonly fraction: number;
  readonly said: string;
  /** Where hands help (hands/share-out.ts): what to wait for before going on. */
  readonly until?: Promise<unknown>;
}

export interface FitSettings {
  readonly seed: number;
  /** Particles kept. */
  readonly particles: number;
}

export const usualSettings: FitSettings = { seed: 1, particles: 256 };

/** Equally weighted draws from what the readings leave possible, with how they came about. */
export interface Posterior {
  readonly model: Model;
  readonly settings: FitSettings;
  /** Scores, shape (particles, coordinates). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
  /** Log of the marginal likelihood of all readings. */
  readonly logEvidence: number;
  readonly diagnostics: Diagnostics;
  readonly onward: Onward;
}

/** Where moves that go on from a posterior take up. */
export interface Onward {
  /** Share of the cloud's axes drawn afresh in one move. */
  readonly share: number;
  /** Names the streams of the next moves; no two moves of a tank's particles share one. */
  readonly round: number;
  /** Whether the particles have forgotten most of what the last reading took for granted. */
  readonly settled: boolean;
}

export interface Diagnostics {
  /** Draws the particles are worth, from how much the last moves forgot where they started. */
  readonly effectiveSamples: number;
  /** Share of proposals taken in the last moves. */
  readonly acceptance: number;
  /** Temperatures passed through; 0 for an update that needed none. */
  readonly levels: number;
  /** Solves of the model and evaluations of its derivative. */
  readonly solves: number;
  readonly evaluations: number;
  readonly warnings: readonly string[];
}
