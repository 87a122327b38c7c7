import { plainWeigher } from './plain.ts';
import type { Weigher, WeigherShape } from './shape.ts';
import { vectorWeigher } from './vector.ts';

/** In vectors where there are any, else one reading at a time; the two agree to 1e-3 (test/weigh.test.ts). */
export const openWeigher = (shape: WeigherShape): Weigher => vectorWeigher(shape) ?? plainWeigher(shape);
