import { plainMover } from './plain.ts';
import type { Mover, MoverShape } from './shape.ts';
import { vectorMover } from './vector.ts';

/** In vectors where there are any, else one particle at a time; the two agree to 1e-3 (test/move.test.ts). */
export const openMover = (shape: MoverShape): Mover => vectorMover(shape) ?? plainMover(shape);
