/**
 * `npm run bench`: how fast the water model is solved beside peers, all in one run on this machine, and what a fit
 * costs. `npm run bench -- --short` leaves out the slow peers and the growth tables. Times are the least of several
 * passes; those of fits are processor time. What was measured on which machine: docs/science/speed.md.
 */
import { cpus, totalmem } from 'node:os';
import { usualSettings } from '@brinewright/evidence';
import { refit } from './club.ts';
import { coldFit, journalOf, lastUpdate, longestPause, lookAhead, processorMs, timed } from './fits.ts';
import { fitAndUpdate, openCrew } from './hands.ts';
import {
  compilePeers,
  gccFlags,
  plainFlags,
  type Solved,
  solveGenerally,
  solveInC,
  solveInPython,
  solveInR,
  solvePlain,
  solveVector,
} from './solvers.ts';
import { drawTanks, errorOf, referenceStates } from './tanks.ts';

const short = process.argv.includes('--short');
const passes = short ? 10 : 15;
const days = 45;

function say(...cells: readonly (string | number)[]): void {
  const [first, ...rest] = cells.map(String);
  console.log(first!.padEnd(46) + rest.map((cell) => cell.padStart(15)).join(''));
}
const number = (value: number, digits = 3): string =>
  value >= 1000 ? Math.round(value).toLocaleString('en') : value.toPrecision(digits);

const cpu = cpus()[0]?.model.trim() ?? 'unknown';
console.log(
  `${cpu}, ${cpus().length} cores, ${(totalmem() / 2 ** 30).toFixed(0)} GiB; Node ${process.version}\n`,
);

const tanks = drawTanks(short ? 128 : 400, days);
const reference = referenceStates(tanks);
const peers = compilePeers();
if (!peers) console.log('No GCC here: the peers in C are left out.');
/** Takes turns, so that what else the machine does falls on all alike; keeps the best turn of each. */
function takeTurns(solvers: readonly (() => Solved | null)[]): (Solved | null)[] {
  const best: (Solved | null)[] = solvers.map(() => null);
  for (let turn = 0; turn < (short ? 2 : 6); turn++)
    for (const [index, solve] of solvers.entries()) {
      const solved = solve();
      if (solved && solved.seconds < (best[index]?.seconds ?? Infinity)) best[index] = solved;
    }
  return best;
}
const [scalar = null, cVector = null, nativeScalar = null, nativeVector = null, plain = null, vector = null] =
  takeTurns([
    () => peers && solveInC(tanks, peers.plain, 'scalar', passes),
    () => peers && solveInC(tanks, peers.plain, 'vector', passes),
    () => peers && solveInC(tanks, peers.native, 'scalar', passes),
    () => peers && solveInC(tanks, peers.native, 'vector', passes),
    () => solvePlain(tanks, passes),
    () => solveVector(tanks, 2 * passes),
  ]);
peers?.remove();

console.log(`${tanks.count} start-ups drawn from the priors, ${days} days, ${tanks.plan.days.length} stops`);
say(
  'solver',
  'us per solve',
  'solves/s',
  'p95 error',
  'vs scalar',
  'vs vector',
  'native scalar',
  'native vector',
);
/** A line for one way of solving; `of`: the tanks it was given and their exact states. */
function row(name: string, solved: Solved | null, of = { tanks, reference }): void {
  if (!solved) {
    console.log(`${name}: not here, left out.`);
    return;
  }
  const ratio = (peer: Solved | null): string => (peer ? number(solved.seconds / peer.seconds) : '-');
  const error = errorOf(solved.states, of.reference, solved.count, of.tanks.count).toExponential(1);
  const ratios = [scalar, cVector, nativeScalar, nativeVector].map(ratio);
  say(name, number(solved.seconds * 1e6), number(1 / solved.seconds), error, ...ratios);
}
row('ours, WebAssembly, 4 floats to a vector', vector);
row('ours, TypeScript, one tank at a time, double', plain);
row('C, 4 floats to a vector', cVector);
row('C, 4 floats to a vector, native', nativeVector);
row('C, one tank at a time, double', scalar);
row('C, one tank at a time, double, native', nativeScalar);
if (peers) console.log(`C: gcc ${plainFlags.join(' ')}; native: gcc ${gccFlags.join(' ')}`);
if (!short) {
  const fewTanks = drawTanks(40, days);
  const few = { tanks: fewTanks, reference: referenceStates(fewTanks) };
  row('odex (npm), extrapolation', solveGenerally(fewTanks, 3e-5, 5), few);
  row('SciPy odeint', solveInPython(fewTanks, 'odeint', 3e-5), few);
  row('SciPy solve_ivp LSODA', solveInPython(fewTanks, 'LSODA', 3e-5), few);
  row('SciPy solve_ivp RK45', solveInPython(fewTanks, 'RK45', 3e-4), few);
  row('R deSolve lsoda', solveInR(fewTanks, 'lsoda', 3e-5, 'in R'), few);
  row('R deSolve lsoda, derivative in C', solveInR(fewTanks, 'lsoda', 3e-5, 'in C'), few);
}

console.log(
  `\nA fit of ${usualSettings.particles} particles to ${days} days with 45 readings; processor time`,
);
const journal = journalOf(days);
const began = processorMs();
coldFit(journal);
say('first fit, compiling included, ms', number(processorMs() - began));
const cold = timed(short ? 2 : 5, () => coldFit(journal));
const { solves, effectiveSamples } = cold.value.diagnostics;
say('cold fit, ms', number(cold.ms));
say('  runs of the water', number(solves));
say('  us per run, all included', number((cold.ms * 1000) / solves));
say('  effective particles', number(effectiveSamples));
const spoilt = journalOf(days, 3, 40, { offByOne: 0.2, seed: 7 });
say('cold fit, one reading in five a step off, ms', number(timed(short ? 2 : 5, () => coldFit(spoilt)).ms));
say('update by three readings, ms', number(lastUpdate(journal, short ? 2 : 5).ms));
await sharedWithHands();
say('90 days ahead, ms', number(timed(short ? 2 : 5, () => lookAhead(cold.value, 90)).ms));
say('longest without a chance to stop, ms', number(longestPause(journal)));
say('memory of the process, MiB', number(process.memoryUsage().rss / 2 ** 20));

/** The same on the clock, in this thread and shared with as many others as there are processors beside it. */
async function sharedWithHands(): Promise<void> {
  for (const count of [0, 1]) {
    const crew = openCrew(count);
    const { fitMs, updateMs } = await fitAndUpdate(journal, crew.hands, short ? 3 : 8);
    await crew.close();
    say(`on the clock, ${count + 1} thread${count > 0 ? 's' : ''}: cold fit, ms`, number(fitMs));
    say('  update, ms', number(updateMs));
  }
}

{
  const count = short ? 20 : 200;
  console.log(
    `\n${count} tanks of a club refitted from nothing, 5 to 60 days old, one reading in five a step off`,
  );
  say('processes', 'seconds', 'of processors', 'ms a tank', '1,000 tanks, s');
  for (const workers of [1, 2]) {
    const { seconds, processorSeconds } = await refit(count, workers);
    const each = (1000 * processorSeconds) / count;
    say(workers, number(seconds), number(processorSeconds), number(each), number((1000 * seconds) / count));
  }
}

if (!short) {
  console.log('\nGrowth');
  say('days, tests every third', 'readings', 'cold fit, ms', 'runs', 'us per run');
  for (const length of [15, 30, 45, 90, 180]) grow(String(length), journalOf(length));
  say('45 days, tests every', 'readings', 'cold fit, ms', 'runs', 'us per run');
  for (const every of [1, 3, 9]) grow(`${every} days`, journalOf(45, every));
  say('tanks, one after another', 'ms', 'ms a tank', 'MiB');
  for (const count of [1, 4, 16]) {
    const all = timed(1, () => Array.from({ length: count }, () => coldFit(journal)));
    say(count, number(all.ms), number(all.ms / count), number(process.memoryUsage().rss / 2 ** 20));
  }
}

function grow(name: string, problem: ReturnType<typeof journalOf>): void {
  const { ms, value } = timed(1, () => coldFit(problem));
  const runs = value.diagnostics.solves;
  say(name, problem.observations.length, number(ms), number(runs), number((ms * 1000) / runs));
}
