import type { Prior } from '@brinewright/nitrogen';
import type { Cloud } from '../cloud.ts';
import type { Leaning } from '../shear.ts';

export interface MoverShape {
  /** Priors of the coordinates. */
  readonly priors: readonly Prior[];
  /** Particles moved together. */
  readonly capacity: number;
}

/** The shape moves are drawn from: a cloud about particles straightened by leanings. */
export interface Shape {
  readonly cloud: Cloud;
  readonly leanings: readonly Leaning[];
}

/**
 * Draws where a block of particles might go. The caller fills in where they are and reads proposals, what they come to in
 * the units of the coordinates, and gains: the logarithm of the ratio of prior to reference there over that here, which
 * a decision starts from. What comes out for a particle depends on its own numbers and the name of its stream alone.
 */
export interface Mover {
  /** Scores, coordinates a particle, particles in fours (numbers/fours.ts). */
  readonly here: Float32Array;
  readonly proposals: Float32Array;
  readonly values: Float32Array;
  /** One number a particle: gamma variates of shape (freedom + coordinates)/2 to reach with. */
  readonly gammas: Float32Array;
  readonly gains: Float32Array;
  takeShape(shape: Shape): void;
  /** Draws afresh along a share of the cloud's axes, all of them at 1. Streams are named by a word and key + particle. */
  propose(count: number, share: number, word: number, key: number): void;
}
