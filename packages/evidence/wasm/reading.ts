/**
 * How likely a reading is in the water of four particles, in the lanes of WebAssembly's vectors of single precision:
 * `likelihood` of ../src/observe/reading.ts in another language. A change to one is a change to both.
 */
import {
  add,
  all,
  div,
  fading,
  least,
  logarithm,
  most,
  mul,
  pick,
  sub,
} from '@brinewright/nitrogen/wasm/lanes';
import { at } from './fours.ts';

/** A reading, as ../src/observe/vector.ts lays it out: whole numbers first, then single precision, four bytes each. */
export const READING_BYTES = 64;
export const INSTRUMENT = 0;
export const ANALYTE = 4;
export const METERED = 8;
export const TINTED = 12;
const WATER_SHARE = 16;
const LOW = 20;
const HIGH = 24;
const OFFSET = 28;
const MORE_BLUR = 32;
const FLOOR = 36;
const SHARE = 40;
const TOP = 44;
const IF_FAILED = 48;
const SLIPPED = 52;
const HELD = 56;

const NITRITE = 1;
export const NITRATE = 2;
/** Blur, tint and cross come before the biases among the eyes. */
export const BLUR = 0;
export const TINT = 1;
export const CROSS = 2;
export const COMMON_EYES = 3;

/**
 * Standard normal distribution function, absolute error below 1e-6 (Abramowitz & Stegun 1964, 7.1.28); terms in pairs, so that
 * few wait for each other.
 */
function below(x: v128): v128 {
  const size = mul(f32x4.abs(x), all(Math.SQRT1_2));
  const square = mul(size, size);
  const first = add(all(1), mul(size, all(0.0705230784)));
  const second = add(all(0.0422820123), mul(size, all(0.0092705272)));
  const third = add(all(0.0001520143), mul(size, all(0.0002765672)));
  const upper = add(third, mul(square, all(0.0000430638)));
  const root = add(first, mul(square, add(second, mul(square, upper))));
  const fourth = mul(mul(root, root), mul(root, root));
  const sixteenth = mul(mul(fourth, fourth), mul(fourth, fourth));
  const half = div(all(0.5), sixteenth);
  return pick(f32x4.gt(x, all(0)), sub(all(1), half), half);
}

/** Share of nitrite readings whose colour fails, by how many times the card's top there is. */
function failing(tops: v128, fade: f32, from: f32, full: f32): v128 {
  const reach = div(sub(tops, f32x4.splat(from)), f32x4.splat(full - from));
  return mul(f32x4.splat(fade), least(all(1), most(all(0), reach)));
}

let fade: f32 = 0;
let fadeFrom: f32 = 0;
let fadeFull: f32 = 0;

/** Tells the chance of a colour that fails. */
export function suppose(faded: f64, from: f64, full: f64): void {
  fade = f32(faded);
  fadeFrom = f32(from);
  fadeFull = f32(full);
}

/** A number of a reading, the same for all four. */
function number(reading: usize, place: usize): v128 {
  return v128.load32_splat(reading + place);
}

/** Likelihood of a reading in four waters. `water`: the row it was taken in; `eyes`: what is supposed of its reader. */
export function likelihood(reading: usize, water: usize, eyes: usize): v128 {
  const analyte = load<i32>(reading, ANALYTE);
  let level = at(water, analyte);
  if (load<i32>(reading, TINTED)) level = add(level, at(eyes, TINT));
  else if (analyte === NITRATE) {
    const cross = mul(at(eyes, CROSS), at(water, NITRITE));
    level = add(level, cross);
  }
  const x = mul(level, number(reading, WATER_SHARE));
  const slipped = number(reading, SLIPPED);
  const held = number(reading, HELD);
  const low = number(reading, LOW);
  if (load<i32>(reading, METERED)) {
    const share = mul(number(reading, SHARE), x);
    const sd = add(number(reading, FLOOR), share);
    const z = div(sub(low, x), sd);
    const density = div(fading(mul(all(0.5), mul(z, z))), mul(sd, all(2.5066282746310002)));
    return add(mul(held, density), slipped);
  }
  const bias = at(eyes, COMMON_EYES + load<i32>(reading, INSTRUMENT));
  const middle = logarithm(mul(add(x, number(reading, OFFSET)), bias));
  const blur = add(at(eyes, BLUR), number(reading, MORE_BLUR));
  const sharpness = div(all(1), blur);
  const high = number(reading, HIGH);
  const upTo = below(mul(sub(high, middle), sharpness));
  let read = most(all(0), sub(upTo, below(mul(sub(low, middle), sharpness))));
  if (load<f32>(reading, TOP) < Infinity) {
    const tops = div(x, number(reading, TOP));
    const failed = failing(tops, fade, fadeFrom, fadeFull);
    const ifFailed = number(reading, IF_FAILED);
    read = add(read, mul(failed, sub(ifFailed, read)));
  }
  return add(mul(held, read), slipped);
}
