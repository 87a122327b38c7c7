import { quickSettings } from '../kernel.ts';
import { plainBatch } from './plain.ts';
import type { Batch, BatchShape } from './shape.ts';
import { vectorBatch } from './vector.ts';

/**
 * Opens a batch: four particles at a time in single precision where WebAssembly's vectors are to be had, else one at
 * a time in double. The two agree to about 1e-3 of a level (test/batch.test.ts); answers are the same bytes on every
 * machine that has the first.
 */
export const openBatch = ({ settings = quickSettings, ...shape }: BatchShape): Batch =>
  vectorBatch({ ...shape, settings }) ?? plainBatch({ ...shape, settings });
