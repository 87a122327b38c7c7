import type { Prior } from '@brinewright/nitrogen';
import type { Posterior } from './posterior.ts';

/** What a fit's particles say of one unknown, on the scale of its prior; undefined where the problem does not have it. */
export function learnt({ model, scores, settings }: Posterior, name: string): Prior | undefined {
  const place = model.coordinates.findIndex((coordinate) => coordinate.name === name);
  if (place < 0) return undefined;
  const { prior } = model.coordinates[place]!;
  let [sum, squares] = [0, 0];
  for (let particle = 0; particle < settings.particles; particle++) {
    const score = scores[particle * model.coordinates.length + place]!;
    sum += score;
    squares += score * score;
  }
  const mean = sum / settings.particles;
  const sd = Math.sqrt(Math.max(0, squares / settings.particles - mean * mean));
  return { ...prior, centre: prior.centre + prior.spread * mean, spread: prior.spread * sd };
}

/** Least share of the usual spread that what was learnt elsewhere leaves: kits differ from lot to lot. */
const leastSpread = 0.3;

/**
 * What several fits that each began from the same prior say together, as if all were normal on its scale: precisions add,
 * the prior's own counted once. A fit that learnt nothing changes nothing.
 */
export function together(usual: Prior, found: readonly Prior[]): Prior {
  const own = 1 / usual.spread ** 2;
  let precision = own;
  let weighted = own * usual.centre;
  for (const { centre, spread } of found) {
    const gained = 1 / spread ** 2 - own;
    if (!(gained > 0)) continue;
    precision += gained;
    weighted += centre / spread ** 2 - usual.centre * own;
  }
  return {
    ...usual,
    centre: weighted / precision,
    spread: Math.max(leastSpread * usual.spread, 1 / Math.sqrt(precision)),
  };
}
