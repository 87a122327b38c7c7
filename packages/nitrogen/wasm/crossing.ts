import { clearLevel, crossingHalvings } from '../src/limits.ts';
import { add, all, mul, only, pick, sub } from './lanes.ts';

/**
 * Share of a step after which a level passes the clear level, by halving: on the cubic through levels and rises in a step at both
 * ends.
 */
export function crossing(before: v128, rise: v128, after: v128, riseAfter: v128): v128 {
  const over = sub(before, all(clearLevel));
  const gained = sub(after, before);
  const twice = add(gained, gained);
  const cube = sub(add(rise, riseAfter), twice);
  const square = sub(sub(gained, rise), cube);
  let there = all(0.5);
  let part = all(0.25);
  for (let i = 0; i < crossingHalvings; i++) {
    const level = add(over, mul(there, add(rise, mul(there, add(square, mul(there, cube))))));
    there = add(there, pick(f32x4.gt(level, all(0)), part, sub(all(0), part)));
    part = mul(part, all(0.5));
  }
  return only(f32x4.gt(over, all(0)), there);
}
