/** The generator of ../src/numbers/random.ts in four lanes, a stream each. */
import { add, all, logarithm, mul, pick, sub } from '@brinewright/nitrogen/wasm/lanes';

let a: v128 = i32x4.splat(0);
let b: v128 = i32x4.splat(0);
let c: v128 = i32x4.splat(0);
let d: v128 = i32x4.splat(0);

/** One step of splitmix32. */
function mix(state: v128): v128 {
  let z = i32x4.add(state, i32x4.splat(0x9e3779b9));
  z = i32x4.mul(v128.xor(z, i32x4.shr_u(z, 16)), i32x4.splat(0x21f0aaad));
  z = i32x4.mul(v128.xor(z, i32x4.shr_u(z, 15)), i32x4.splat(0x735a2d97));
  return v128.xor(z, i32x4.shr_u(z, 15));
}

function rotate(x: v128, by: i32): v128 {
  return v128.or(i32x4.shl(x, by), i32x4.shr_u(x, 32 - by));
}

/** Goes to the beginning of the streams of a word and of four keys one after another. */
export function restart(word: i32, key: i32): void {
  const keys = i32x4.add(i32x4.splat(key), i32x4(0, 1, 2, 3));
  a = mix(mix(v128.xor(i32x4.splat(word), i32x4.mul(keys, i32x4.splat(0x85ebca6b)))));
  b = mix(a);
  c = mix(b);
  d = v128.or(mix(c), i32x4.splat(1));
}

/** Uniform on (0, 1), a multiple of 2^−24. */
export function uniform(): v128 {
  const third = v128.xor(c, a);
  const fourth = v128.xor(d, b);
  const result = i32x4.mul(rotate(i32x4.mul(b, i32x4.splat(5)), 7), i32x4.splat(9));
  const shifted = i32x4.shl(b, 9);
  a = v128.xor(a, fourth);
  b = v128.xor(b, third);
  c = v128.xor(third, shifted);
  d = rotate(fourth, 11);
  return mul(add(f32x4.convert_i32x4_s(i32x4.shr_u(result, 9)), all(0.5)), all(1.0 / 8388608));
}

/** Standard normal. */
export function normal(): v128 {
  return normalOf(uniform());
}

/** Standard normal of a uniform by the inverse distribution function (Giles 2011), error below 1e-6. */
export function normalOf(u: v128): v128 {
  const w = sub(all(0), logarithm(mul(mul(all(4), u), sub(all(1), u))));
  const near = sub(w, all(2.5));
  let series = all(2.81022636e-8);
  series = add(mul(series, near), all(3.43273939e-7));
  series = add(mul(series, near), all(-3.5233877e-6));
  series = add(mul(series, near), all(-4.39150654e-6));
  series = add(mul(series, near), all(2.1858087e-4));
  series = add(mul(series, near), all(-1.25372503e-3));
  series = add(mul(series, near), all(-4.17768164e-3));
  series = add(mul(series, near), all(0.246640727));
  series = add(mul(series, near), all(1.50140941));
  const far = f32x4.ge(w, all(5));
  if (v128.any_true(far)) series = pick(far, tail(w), series);
  return mul(mul(series, sub(add(u, u), all(1))), all(Math.SQRT2));
}

function tail(w: v128): v128 {
  const far = sub(f32x4.sqrt(w), all(3));
  let series = all(-2.00214257e-4);
  series = add(mul(series, far), all(1.00950558e-4));
  series = add(mul(series, far), all(1.34934322e-3));
  series = add(mul(series, far), all(-3.67342844e-3));
  series = add(mul(series, far), all(5.73950773e-3));
  series = add(mul(series, far), all(-7.6224613e-3));
  series = add(mul(series, far), all(9.43887047e-3));
  series = add(mul(series, far), all(1.00167406));
  return add(mul(series, far), all(2.83297682));
}
