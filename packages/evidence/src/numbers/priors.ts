import type { Prior } from '@brinewright/nitrogen';

/** A prior as wasm/priors.ts reads it: its shape, then centre and spread. */
export const priorBytes = 12;
const shapes = ['normal', 'lognormal', 'logit-normal'];

/** Writes priors one after another into a memory. */
export function writePriors(view: DataView, at: number, priors: readonly Prior[]): void {
  for (const [i, { shape, centre, spread }] of priors.entries()) {
    view.setInt32(at + priorBytes * i, shapes.indexOf(shape), true);
    view.setFloat32(at + priorBytes * i + 4, centre, true);
    view.setFloat32(at + priorBytes * i + 8, spread, true);
  }
}
