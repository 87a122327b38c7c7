/**
 * The kernel of ../src/kernel.ts for four particles at once, in the lanes of WebAssembly's vectors of single precision.
 * Lanes share nothing but the instructions: each takes steps of its own length, obeys its stops when it comes to them,
 * and takes up the next particle when one is done. So no lane waits for another, and what comes out for a particle does
 * not depend on which others it was run beside. The two kernels are kept side by side: a change to one is a change to
 * both, and test/batch.test.ts holds them together.
 */
import { firstStep } from '../src/limits.ts';
import { advance } from './advance.ts';
import { all } from './lanes.ts';
import { obey, surround } from './stops.ts';
import {
  AMMONIFIED,
  AMMONIFY,
  at,
  BIOLOGY_WIDTH,
  BREAK_UP,
  BROKEN_UP,
  biology,
  CLEAR_SINCE,
  CONDITIONS_WIDTH,
  conditions,
  EVALUATIONS,
  FACTOR_A,
  FACTOR_N,
  FREE_RATIO,
  FRESH,
  FROM,
  INOCULATED,
  LEFT,
  LOAD,
  NEVER,
  outcome,
  PUT,
  put,
  READY_DAY,
  STATE_WIDTH,
  STEP,
  STRETCH,
  state,
  VIGOUR,
} from './tables.ts';

const LANES = 4;
const OUTPUT = 10;
const SEGMENT = 0;

/** Per lane: its particle, −1 where none is left; the stop it comes to next; and the day it stands at. */
const particles = memory.data(4 * LANES, 16);
const nexts = memory.data(4 * LANES, 16);
const todays = memory.data(8 * LANES, 16);

/** Numbers kept of a particle between two stages: its state and the conditions it is under. */
const RESTING_WIDTH = STATE_WIDTH + CONDITIONS_WIDTH;

/** What the caller has laid out in memory; see `takePlan`. */
let days: usize = 0;
let kinds: usize = 0;
let slots: usize = 0;
let segments: usize = 0;
let biologies: usize = 0;
let starts: usize = 0;
let amounts: usize = 0;
let width: i32 = 0;
let states: usize = 0;
let rows: i32 = 0;
let reports: usize = 0;
let resting: usize = 0;
let order: usize = 0;
let tolerance: f64 = 0;
let mostEvaluations: f64 = 0;
/** Stops of the stage being run: its first, and one past its last. */
let first: i32 = 0;
let end: i32 = 0;

/** First byte the caller may use for its tables. */
export function free(): usize {
  return __heap_base;
}

/** Brings a particle into a lane: at day 0 before its first stop, or where it rested. */
function begin(lane: i32, particle: i32): void {
  store<i32>(particles + 4 * lane, particle);
  store<i32>(nexts + 4 * lane, first);
  store<f64>(todays + 8 * lane, first > 0 ? load<f64>(days + 8 * (first - 1)) : 0);
  const constants = biologies + 8 * BIOLOGY_WIDTH * particle;
  for (let i = 0; i < BIOLOGY_WIDTH; i++) put(biology, i, lane, f32(load<f64>(constants + 8 * i)));
  put(outcome, 0, lane, 0);
  if (first > 0) wake(lane, particle);
  else setOut(lane, particle);
}

/** Puts a particle as it begins into a lane. */
function setOut(lane: i32, particle: i32): void {
  const start = starts + 8 * STATE_WIDTH * particle;
  for (let i = 0; i < STATE_WIDTH; i++) put(state, i, lane, f32(load<f64>(start + 8 * i)));
  put(conditions, FACTOR_A, lane, 1);
  put(conditions, FACTOR_N, lane, 1);
  put(conditions, FREE_RATIO, lane, 0);
  put(conditions, BROKEN_UP, lane, at(biology, BREAK_UP, lane));
  put(conditions, AMMONIFIED, lane, at(biology, AMMONIFY, lane));
  put(conditions, VIGOUR, lane, 1);
  put(conditions, LOAD, lane, 0);
  put(conditions, INOCULATED, lane, 0);
  put(conditions, STEP, lane, f32(firstStep));
  put(conditions, CLEAR_SINCE, lane, f32(NEVER));
  put(conditions, READY_DAY, lane, f32(NEVER));
  put(conditions, EVALUATIONS, lane, 0);
  put(conditions, FROM, lane, 0);
  put(conditions, STRETCH, lane, 0);
  put(conditions, LEFT, lane, 0);
  put(conditions, FRESH, lane, 1);
}

/** One of the numbers kept of a particle. */
function rested(particle: i32, index: i32): usize {
  return resting + 4 * (RESTING_WIDTH * particle + index);
}

/** Brings back what was kept of a particle. */
function wake(lane: i32, particle: i32): void {
  for (let i = 0; i < STATE_WIDTH; i++) put(state, i, lane, load<f32>(rested(particle, i)));
  for (let i = 0; i < CONDITIONS_WIDTH; i++)
    put(conditions, i, lane, load<f32>(rested(particle, STATE_WIDTH + i)));
  put(conditions, FRESH, lane, 1);
}

/** Keeps what a later stage goes on from. */
function keep(lane: i32, particle: i32): void {
  for (let i = 0; i < STATE_WIDTH; i++) store<f32>(rested(particle, i), at(state, i, lane));
  for (let i = 0; i < CONDITIONS_WIDTH; i++)
    store<f32>(rested(particle, STATE_WIDTH + i), at(conditions, i, lane));
}

/** Writes down how a lane's particle fared: outcome, evaluations, day reached, day ready. */
function finish(lane: i32): void {
  const particle = load<i32>(particles + 4 * lane);
  const report = reports + 32 * particle;
  const ready = at(conditions, READY_DAY, lane);
  store<f64>(report, f64(at(outcome, 0, lane)));
  store<f64>(report + 8, f64(at(conditions, EVALUATIONS, lane)));
  store<f64>(report + 16, load<f64>(todays + 8 * lane));
  store<f64>(report + 24, ready < f32(NEVER) ? f64(ready) : Infinity);
  keep(lane, particle);
}

/** Does what a stop says, in a lane that has come to it. */
function heed(lane: i32, stop: i32): void {
  const kind = load<i32>(kinds + 4 * stop);
  const slot = load<i32>(slots + 4 * stop);
  const particle = load<i32>(particles + 4 * lane);
  if (kind === OUTPUT) {
    const row = states + 8 * STATE_WIDTH * (rows * particle + slot);
    for (let i = 0; i < STATE_WIDTH; i++) store<f64>(row + 8 * i, f64(at(state, i, lane)));
  } else if (kind === SEGMENT) surround(lane, segments + 32 * slot);
  else obey(kind, lane, f32(load<f64>(days + 8 * stop)), amounts + 8 * (width * particle + slot));
}

/** Sets a lane off for a day. */
function setOff(lane: i32, until: f64): void {
  const day = load<f64>(todays + 8 * lane);
  put(conditions, FROM, lane, f32(day));
  put(conditions, STRETCH, lane, f32(until - day));
  put(conditions, LEFT, lane, f32(until - day));
}

/** Takes note of where a lane has come to, its next stop or the point where it gave up. */
function arrive(lane: i32): void {
  const come = at(conditions, STRETCH, lane) - at(conditions, LEFT, lane);
  put(state, PUT, lane, at(state, PUT, lane) + come * at(conditions, LOAD, lane));
  const day =
    at(outcome, 0, lane) === 0
      ? load<f64>(days + 8 * load<i32>(nexts + 4 * lane))
      : load<f64>(todays + 8 * lane) + f64(come);
  store<f64>(todays + 8 * lane, day);
}

/** Takes a lane past the stops of its day; true where there are days to run before the next. */
function pass(lane: i32): bool {
  const day = load<f64>(todays + 8 * lane);
  let next = load<i32>(nexts + 4 * lane);
  if (at(outcome, 0, lane) !== 0) return false;
  for (; next < end; next++) {
    const until = load<f64>(days + 8 * next);
    if (until > day) {
      store<i32>(nexts + 4 * lane, next);
      setOff(lane, until);
      return true;
    }
    heed(lane, next);
  }
  return false;
}

/** Leaves a lane without a particle: it goes on with what it has, and is not heard. */
function rest(lane: i32): void {
  store<i32>(particles + 4 * lane, -1);
  put(conditions, STRETCH, lane, f32(NEVER));
  put(conditions, LEFT, lane, f32(NEVER));
}

/** The particle in a place of the order. */
function listed(place: i32): i32 {
  return load<i32>(order + 4 * place);
}

/** Sees a lane past the stops it stands at, and on to further particles where it is done; returns how many are taken up. */
function serve(lane: i32, taken: i32, count: i32): i32 {
  while (!pass(lane)) {
    finish(lane);
    if (taken === count) {
      rest(lane);
      break;
    }
    begin(lane, listed(taken++));
  }
  return taken;
}

/**
 * Tells where the tables of a plan and its particles lie. They are of double precision but for kinds, slots and order,
 * which are 32-bit integers, and what is kept of a particle, in single precision; shapes: factors (segments, 4), biologies
 * (particles, 21), starts (particles, 15), amounts (particles, amountWidth), states (particles, outputs, 15), reports
 * (particles, 4), kept (particles, `restingWidth`), order (particles).
 */
export function takePlan(
  dayTable: usize,
  kindTable: usize,
  slotTable: usize,
  segmentTable: usize,
  biologyTable: usize,
  startTable: usize,
  amountTable: usize,
  amountWidth: i32,
  stateTable: usize,
  outputs: i32,
  reportTable: usize,
  restingTable: usize,
  orderTable: usize,
  errorAllowed: f64,
  mostWork: f64,
): void {
  days = dayTable;
  kinds = kindTable;
  slots = slotTable;
  segments = segmentTable;
  biologies = biologyTable;
  starts = startTable;
  amounts = amountTable;
  width = amountWidth;
  states = stateTable;
  rows = outputs;
  reports = reportTable;
  resting = restingTable;
  order = orderTable;
  tolerance = errorAllowed;
  mostEvaluations = mostWork;
}

/** Numbers kept of a particle. */
export function restingWidth(): i32 {
  return RESTING_WIDTH;
}

/** Runs the first `count` particles of the order through the stops from one to another, from where they stand. */
export function run(count: i32, from: i32, until: i32): void {
  if (count === 0) return;
  first = from;
  end = until;
  let queued = 0;
  let busy = 0;
  for (let lane = 0; lane < LANES; lane++) {
    begin(lane, listed(min(queued, count - 1)));
    if (queued === count) rest(lane);
    else {
      queued++;
      busy++;
      queued = serve(lane, queued, count);
      if (load<i32>(particles + 4 * lane) < 0) busy--;
    }
  }
  while (busy > 0) {
    let arriving = advance(all(tolerance), all(mostEvaluations));
    for (; arriving !== 0; arriving &= arriving - 1) {
      const lane = ctz(arriving);
      if (load<i32>(particles + 4 * lane) < 0) continue;
      if (at(conditions, LEFT, lane) > 0 && at(outcome, 0, lane) === 0) continue;
      arrive(lane);
      queued = serve(lane, queued, count);
      if (load<i32>(particles + 4 * lane) < 0) busy--;
    }
  }
}
