/** Arithmetic on four particles at once: short names for the vector instructions, all in single precision. */

export function all(x: f64): v128 {
  return f32x4.splat(f32(x));
}
export function add(a: v128, b: v128): v128 {
  return f32x4.add(a, b);
}
export function sub(a: v128, b: v128): v128 {
  return f32x4.sub(a, b);
}
export function mul(a: v128, b: v128): v128 {
  return f32x4.mul(a, b);
}
export function div(a: v128, b: v128): v128 {
  return f32x4.div(a, b);
}
export function least(a: v128, b: v128): v128 {
  return f32x4.pmin(a, b);
}
export function most(a: v128, b: v128): v128 {
  return f32x4.pmax(a, b);
}
/** a where the mask is set, else b. */
export function pick(mask: v128, a: v128, b: v128): v128 {
  return v128.bitselect(a, b, mask);
}
/** a where the mask is set, else 0. */
export function only(mask: v128, a: v128): v128 {
  return v128.and(a, mask);
}

/** a where it exceeds a number, else 0. */
export function above(least: f64, a: v128): v128 {
  return v128.and(a, f32x4.gt(a, all(least)));
}

/** Added to a number it rounds that to a whole one, which then stands in the last bits. */
const ROUNDING: f64 = 12_582_912;

/**
 * 2^y for y from −126 to 126, relative error below 3e-7: e^f by its series for f within ±ln 2 / 2, terms in pairs, the rest by the
 * exponent.
 */
function powerOfTwo(y: v128): v128 {
  const rounded = add(y, all(ROUNDING));
  const f = mul(sub(y, sub(rounded, all(ROUNDING))), all(Math.LN2));
  const square = mul(f, f);
  const lower = add(add(all(1), f), mul(square, add(all(0.5), mul(f, all(1.0 / 6)))));
  const upper = add(add(all(1.0 / 24), mul(f, all(1.0 / 120))), mul(square, all(1.0 / 720)));
  const series = add(lower, mul(mul(square, square), upper));
  return i32x4.add(series, i32x4.shl(rounded, 23));
}

/** e^x for x up to 87. */
export function exponential(x: v128): v128 {
  return powerOfTwo(least(most(mul(x, all(Math.LOG2E)), all(-126)), all(126)));
}

/** e^−z for z ≥ 0. */
export function fading(z: v128): v128 {
  return powerOfTwo(most(mul(z, all(-Math.LOG2E)), all(-126)));
}

/** ln x for x > 0 by 2·artanh((m − 1)/(m + 1)) of the fraction from √½ to √2, error below 2e-7. */
export function logarithm(x: v128): v128 {
  const exponent = i32x4.shr_s(i32x4.sub(x, i32x4.splat(0x3f3504f3)), 23);
  const m = i32x4.sub(x, i32x4.shl(exponent, 23));
  const s = div(sub(m, all(1)), add(m, all(1)));
  const z = mul(s, s);
  const fourth = mul(z, z);
  const lower = add(all(2), mul(z, all(2.0 / 3)));
  const upper = add(add(all(2.0 / 5), mul(z, all(2.0 / 7))), mul(fourth, all(2.0 / 9)));
  const series = add(lower, mul(fourth, upper));
  return add(mul(f32x4.convert_i32x4_s(exponent), all(Math.LN2)), mul(s, series));
}

/**
 * Fourth root of a ratio to 5 %, by quartering the difference of the exponents: near enough to choose a step by, and nothing
 * waits for a division. Of anything over 0 it is large.
 */
export function roughFourthRootOf(over: v128, under: v128): v128 {
  return i32x4.add(i32x4.shr_s(i32x4.sub(over, under), 2), i32x4.splat(0x3f7b8000));
}
