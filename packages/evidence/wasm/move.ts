/**
 * Draws where four particles at a time might go: ../src/infer/move/plain.ts in another language. The two are kept side by
 * side: a change to one is a change to both, and test/move.test.ts holds them together. What comes out for a particle does
 * not depend on its neighbours.
 */
import { add, all, div, exponential, logarithm, mul, pick, sub } from '@brinewright/nitrogen/wasm/lanes';
import { at, LANES, set } from './fours.ts';
import { valueAt } from './priors.ts';
import { normalOf, restart, uniform } from './random.ts';

/**
 * What straightens one coordinate: its place and those of growth, half-saturation and waking; the slope, the level of food
 * and the days slept before; its first and last lively spells.
 */
const LEANING_BYTES = 36;
/** A spell: the coordinate of its vigour and its days. */
const SPELL_BYTES = 8;

/** Coordinates, and tables the caller laid out in memory; see `takeShape`. */
let size: i32 = 0;
let priors: usize = 0;
let mean: usize = 0;
let lower: usize = 0;
let leanings: usize = 0;
let leaningCount: i32 = 0;
let spells: usize = 0;
let freedom: f64 = 0;
let straight: usize = 0;
let noise: usize = 0;

/**
 * Tells the shape that proposals are drawn from. Priors: shape (coordinates, 3), their kind a 32-bit integer; mean:
 * (coordinates), lower: (coordinates, coordinates), single precision; work: room for twice the coordinates, in fours.
 */
export function takeShape(
  coordinates: i32,
  priorTable: usize,
  meanTable: usize,
  lowerTable: usize,
  leaningTable: usize,
  leaningsThere: i32,
  spellTable: usize,
  degrees: f64,
  work: usize,
): void {
  size = coordinates;
  priors = priorTable;
  mean = meanTable;
  lower = lowerTable;
  leanings = leaningTable;
  leaningCount = leaningsThere;
  spells = spellTable;
  freedom = degrees;
  straight = work;
  noise = work + 16 * coordinates;
}

/** Growth between a leaning's two days, by the scores of four particles. */
function growthOf(leaning: usize, scores: usize): v128 {
  const fed = v128.load32_splat(leaning, 20);
  const wake = valueFrom(load<i32>(leaning, 12), scores);
  const perDay = div(all(-1), wake);
  let asleep = exponential(mul(v128.load32_splat(leaning, 24), perDay));
  let awakeDays = all(0);
  for (let i = load<i32>(leaning, 28); i < load<i32>(leaning, 32); i++) {
    const spell = spells + SPELL_BYTES * i;
    const days = v128.load32_splat(spell, 4);
    const later = mul(asleep, exponential(mul(days, perDay)));
    const awake = sub(days, mul(wake, sub(asleep, later)));
    awakeDays = add(awakeDays, mul(valueFrom(load<i32>(spell), scores), awake));
    asleep = later;
  }
  const full = div(fed, add(fed, valueFrom(load<i32>(leaning, 8), scores)));
  return mul(mul(valueFrom(load<i32>(leaning, 4), scores), full), awakeDays);
}

function valueFrom(place: i32, scores: usize): v128 {
  return valueAt(priors, place, at(scores, place));
}

/** Straightens (−1) or bends (1) four particles' scores, in place. */
function lean(scores: usize, sign: f64): void {
  for (let i = 0; i < leaningCount; i++) {
    const leaning = leanings + LEANING_BYTES * i;
    const place = load<i32>(leaning);
    const by = mul(v128.load32_splat(leaning, 16), growthOf(leaning, scores));
    set(scores, place, add(at(scores, place), mul(all(sign), by)));
  }
}

/** Sum of a row of the factor times a table, up to a column; two sums at once, so that neither waits for the other. */
function along(row: i32, table: usize, columns: i32): v128 {
  const factors = lower + 4 * size * row;
  let even = all(0);
  let odd = all(0);
  let column = 0;
  for (; column + 1 < columns; column += 2) {
    even = add(even, mul(v128.load32_splat(factors + 4 * column), at(table, column)));
    odd = add(odd, mul(v128.load32_splat(factors + 4 * column, 4), at(table, column + 1)));
  }
  if (column < columns) even = add(even, mul(v128.load32_splat(factors + 4 * column), at(table, column)));
  return add(even, odd);
}

/** Turns straightened scores into distances along the cloud's axes, in place; returns the squared length. */
function whiten(scores: usize): v128 {
  let square = all(0);
  for (let row = 0; row < size; row++) {
    const off = sub(sub(at(scores, row), v128.load32_splat(mean + 4 * row)), along(row, scores, row));
    const value = div(off, v128.load32_splat(lower + 4 * (size + 1) * row));
    set(scores, row, value);
    square = add(square, mul(value, value));
  }
  return square;
}

/** Log density of the reference, up to a constant. */
function referenceAt(square: v128): v128 {
  const within = add(all(1), mul(square, all(1 / freedom)));
  return mul(all(-0.5 * (freedom + f64(size))), logarithm(within));
}

/** Minus half the squared length: the log prior of standard normal scores. */
function priorAt(scores: usize): v128 {
  let square = all(0);
  for (let i = 0; i < size; i++) square = add(square, mul(at(scores, i), at(scores, i)));
  return mul(square, all(-0.5));
}

function tellValues(scores: usize, values: usize): void {
  for (let i = 0; i < size; i++) set(values, i, valueFrom(i, scores));
}

/**
 * Proposes for particles up to the last but one, a multiple of four: along a share of the cloud's axes, chosen by chance,
 * they are drawn afresh, along the others they stay. Here, proposals and values: shape (particles / 4, coordinates, 4),
 * gammas and gains (particles), single precision.
 */
export function propose(
  count: i32,
  share: f64,
  word: i32,
  key: i32,
  here: usize,
  proposals: usize,
  values: usize,
  gammas: usize,
  gains: usize,
): void {
  for (let particle = 0; particle < count; particle += LANES) {
    const from = here + 4 * size * particle;
    const to = proposals + 4 * size * particle;
    memory.copy(straight, from, 16 * size);
    lean(straight, -1);
    const before = whiten(straight);
    restart(word, key + particle);
    const reach = f32x4.sqrt(div(add(all(freedom), before), mul(all(2), v128.load(gammas + 4 * particle))));
    let after = all(0);
    for (let i = 0; i < size; i++) {
      const moved = f32x4.lt(uniform(), all(share));
      // Drawn whether it is used or not: no lane may depend on another.
      const luck = uniform();
      let value = at(straight, i);
      if (v128.any_true(moved)) value = pick(moved, mul(reach, normalOf(luck)), value);
      set(noise, i, value);
      after = add(after, mul(value, value));
    }
    for (let row = 0; row < size; row++)
      set(to, row, add(v128.load32_splat(mean + 4 * row), along(row, noise, row + 1)));
    lean(to, 1);
    tellValues(to, values + 4 * size * particle);
    const prior = sub(priorAt(to), priorAt(from));
    v128.store(gains + 4 * particle, sub(prior, sub(referenceAt(after), referenceAt(before))));
  }
}
