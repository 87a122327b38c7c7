/**
 * Weighs readings against the water of four particles at once and tries other readers for them: ../src/observe/plain.ts in
 * another language. The two are kept side by side: a change to one is a change to both, and test/weigh.test.ts holds them
 * together. What comes out for a particle does not depend on its neighbours.
 */
import { add, all, logarithm, most, mul, pick, sub } from '@brinewright/nitrogen/wasm/lanes';
import { at, LANES, set } from './fours.ts';
import { valueAt } from './priors.ts';
import { normal, restart, uniform } from './random.ts';
import {
  ANALYTE,
  BLUR,
  COMMON_EYES,
  CROSS,
  INSTRUMENT,
  likelihood,
  METERED,
  NITRATE,
  READING_BYTES,
  TINT,
  TINTED,
} from './reading.ts';

/** An occasion: one past its last reading, its rows before and after the deeds of its instant. */
const OCCASION_BYTES = 12;

/** Levels of a row of water. */
const LEVELS = 4;

/** Tables the caller laid out in memory; see `takeRoom`. */
let readings: usize = 0;
let readingCount: i32 = 0;
let occasions: usize = 0;
let occasionCount: i32 = 0;
let waters: usize = 0;
let waterWidth: i32 = 0;
let eyes: usize = 0;
let scores: usize = 0;
let eyeWidth: i32 = 0;
let priors: usize = 0;
let widths: usize = 0;
let seen: usize = 0;
let tried: usize = 0;
let out: usize = 0;

/**
 * Tells where a room's tables lie. Particles in fours, single precision: waters (particles / 4, waterWidth, 4), eyes and
 * their scores (particles / 4, eyeWidth, 4), seen (particles / 4, 2 · readings, 4): the likelihood of each reading in the
 * water before and after the deeds of its instant. Priors and widths: one an eye. Tried: room for one four of seen. Out:
 * log likelihoods, double precision.
 */
export function takeRoom(
  readingTable: usize,
  readingsThere: i32,
  occasionTable: usize,
  occasionsThere: i32,
  waterTable: usize,
  levelsThere: i32,
  eyeTable: usize,
  scoreTable: usize,
  eyesThere: i32,
  priorTable: usize,
  widthTable: usize,
  seenTable: usize,
  triedTable: usize,
  outTable: usize,
): void {
  readings = readingTable;
  readingCount = readingsThere;
  occasions = occasionTable;
  occasionCount = occasionsThere;
  waters = waterTable;
  waterWidth = levelsThere;
  eyes = eyeTable;
  scores = scoreTable;
  eyeWidth = eyesThere;
  priors = priorTable;
  widths = widthTable;
  seen = seenTable;
  tried = triedTable;
  out = outTable;
}

/** Stands for every eye: all readings are weighed anew. */
const ALL = -1;

/** Whether a reading heeds one of the eyes. */
function heeds(reading: usize, eye: i32): bool {
  if (eye === ALL) return true;
  if (eye === TINT) return load<i32>(reading, TINTED) !== 0;
  if (eye === CROSS) return load<i32>(reading, ANALYTE) === NITRATE;
  if (load<i32>(reading, METERED)) return false;
  return eye === BLUR || load<i32>(reading, INSTRUMENT) === eye - COMMON_EYES;
}

/**
 * Log likelihoods of the readings of occasions from one to the last but one in four waters. Those that heed an eye are
 * weighed anew and written into a table, the others taken as they were seen.
 */
function sumOf(particle: i32, from: i32, until: i32, eye: i32, into: usize): v128 {
  const water = waters + 4 * waterWidth * particle;
  const looking = eyes + 4 * eyeWidth * particle;
  const known = seen + 8 * readingCount * particle;
  let sum = all(0);
  let index = from > 0 ? load<i32>(occasions + OCCASION_BYTES * (from - 1)) : 0;
  for (let i = from; i < until; i++) {
    const occasion = occasions + OCCASION_BYTES * i;
    const end = load<i32>(occasion);
    const before = water + 16 * LEVELS * load<i32>(occasion, 4);
    const after = water + 16 * LEVELS * load<i32>(occasion, 8);
    let ifBefore = all(1);
    let ifAfter = all(1);
    for (; index < end; index++) {
      const reading = readings + READING_BYTES * index;
      const anew = heeds(reading, eye);
      if (anew) set(into, 2 * index, likelihood(reading, before, looking));
      ifBefore = mul(ifBefore, at(anew ? into : known, 2 * index));
      if (after === before) continue;
      if (anew) set(into, 2 * index + 1, likelihood(reading, after, looking));
      ifAfter = mul(ifAfter, at(anew ? into : known, 2 * index + 1));
    }
    const either = after === before ? ifBefore : mul(all(0.5), add(ifBefore, ifAfter));
    // A dozen slips at one instant are as unlikely as single precision can say.
    sum = add(sum, logarithm(most(either, all(1e-37))));
  }
  return sum;
}

/** Log likelihoods that were told of four particles. */
function told(particle: i32): v128 {
  const place = out + 8 * particle;
  const first = f32x4.demote_f64x2_zero(v128.load(place));
  const last = f32x4.demote_f64x2_zero(v128.load(place, 16));
  return v128.shuffle<f32>(first, last, 0, 1, 4, 5);
}

function tell(particle: i32, sum: v128): void {
  const place = out + 8 * particle;
  v128.store(place, f64x2.promote_low_f32x4(sum));
  v128.store(place, f64x2.promote_low_f32x4(v128.shuffle<f32>(sum, sum, 2, 3, 2, 3)), 16);
}

/**
 * Weighs the readings of occasions from one to the last but one against particles from the first to the last but one, both
 * multiples of four, and keeps how each was seen.
 */
export function weigh(first: i32, last: i32, from: i32, until: i32): void {
  for (let particle = first; particle < last; particle += LANES)
    tell(particle, sumOf(particle, from, until, ALL, seen + 8 * readingCount * particle));
}

/** Keeps how readings were seen by the eye tried, in the lanes where it is taken. */
function keepSeen(particle: i32, eye: i32, taken: v128): void {
  const known = seen + 8 * readingCount * particle;
  for (let index = 0; index < readingCount; index++) {
    if (!heeds(readings + READING_BYTES * index, eye)) continue;
    for (let place = 2 * index; place < 2 * index + 2; place++)
      set(known, place, pick(taken, at(tried, place), at(known, place)));
  }
}

/**
 * Tries other eyes for particles from the first to the last but one, multiples of four, whose log likelihoods were told, their
 * water left as it is: the blur first, then one at random, the same for the four of a group, each time a step as wide as its
 * width or a third of it, taken by Metropolis's rule at a power of the likelihood.
 */
export function lookAgain(first: i32, last: i32, turns: i32, temperature: f64, word: i32): void {
  for (let particle = first; particle < last; particle += LANES) {
    const looking = eyes + 4 * eyeWidth * particle;
    const score = scores + 4 * eyeWidth * particle;
    let current = told(particle);
    restart(word, particle);
    for (let turn = 0; turn < turns; turn++) {
      const which = f32x4.extract_lane(uniform(), 0);
      const eye = turn === 0 ? BLUR : i32(which * f32(eyeWidth));
      const stood = at(score, eye);
      const before = at(looking, eye);
      const width = mul(v128.load32_splat(widths + 4 * eye), all(turn % 2 === 0 ? 2.4 : 0.8));
      const moved = add(stood, mul(width, normal()));
      set(looking, eye, valueAt(priors, eye, moved));
      const found = sumOf(particle, 0, occasionCount, eye, tried);
      const prior = mul(all(0.5), sub(mul(stood, stood), mul(moved, moved)));
      const gain = add(mul(all(temperature), sub(found, current)), prior);
      const taken = f32x4.lt(logarithm(uniform()), gain);
      set(score, eye, pick(taken, moved, stood));
      set(looking, eye, pick(taken, at(looking, eye), before));
      current = pick(taken, found, current);
      keepSeen(particle, eye, taken);
    }
    tell(particle, current);
  }
}
