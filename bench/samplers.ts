/**
 * `npm run bench:peers`: effective samples a second of processor time on one posterior, ours beside samplers in other
 * languages, all in one run on this machine. `-- --short` takes a minute and leaves the peers' chains too short to be
 * judged by; `-- --install` installs peers from Debian. What was measured on which machine: docs/science/speed.md.
 *
 * Effective samples of a run: 1 / mean over coordinates and runs of (its mean − that of a long reference)² / variance.
 * That charges a sampler for bias, for a start too far off and for what it discards, not only for chance.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { cpus, loadavg } from 'node:os';
import { prepare, usualSettings } from '@brinewright/evidence';
import { momentsOf, type Run, squaredError, type Worth, worthOf } from './effective.ts';
import { coldFit, journalOf, processorMs } from './fits.ts';
import { type Written, writePosterior } from './posterior.ts';
import { gccFlags, here, python } from './solvers.ts';
import { randomOf } from './tanks.ts';

const short = process.argv.includes('--short');
/** Particles of the fits that peers are held against. */
const particles = 512;
/** Every chain of a peer has the same evaluations, about so many that it is worth what such a fit is. */
const budget = short
  ? { reference: 2048, fits: 4, runs: 4, evaluations: 60_000, interpreted: 100 }
  : { reference: 8192, fits: 16, runs: 8, evaluations: 200_000, interpreted: 400 };
/** Share of a peer's chain that counts as its way in. */
const discarded = 0.3;
/** An ensemble needs twice the coordinates. */
const walkers = 80;
const goals = { compiled: 20, interpreted: 400 };

const problem = journalOf(30);

function say(...cells: readonly (string | number)[]): void {
  const [first, ...rest] = cells.map(String);
  console.log(first!.padEnd(44) + rest.map((cell) => cell.padStart(12)).join(''));
}
const number = (value: number, digits = 3): string =>
  value >= 1000 ? Math.round(value).toLocaleString('en') : value.toPrecision(digits);

interface Judged extends Worth {
  readonly name: string;
}

/** Prints and returns what a sampler's runs are worth. */
function judge(name: string, runs: readonly Run[], worth: Worth): Judged {
  const { effective, doubt, seconds, evaluations, shift, spread } = worth;
  say(
    name,
    ...[runs.length, number(evaluations), number(seconds), number(effective)],
    ...[
      `${number(100 * doubt, 2)} %`,
      number(effective / seconds),
      number((1000 * effective) / evaluations, 2),
    ],
    ...[shift.toFixed(3), spread.toFixed(2)],
  );
  return { name, ...worth };
}

/** Weighs the same draws from the prior with our model and the peers'. @throws Error where they differ. */
function compare(written: Written): void {
  const model = prepare(problem);
  const size = model.coordinates.length;
  const random = randomOf(7);
  const scores = Float64Array.from({ length: 200 * size }, () => random.normal());
  let largest = 0;
  let compared = 0;
  for (const [i, logPosterior] of written.weigh([written.program], scores).logPosteriors.entries()) {
    const own = scores.subarray(i * size, (i + 1) * size);
    const theirs = logPosterior + 0.5 * own.reduce((sum, score) => sum + score * score, 0);
    const ours = model.logLikelihood(own);
    if (!(Math.max(ours, theirs) > -300)) continue;
    compared++;
    largest = Math.max(largest, Math.abs(ours - theirs));
  }
  console.log(
    `the peers' log likelihood differs from ours by at most ${largest.toPrecision(2)} in ${compared} of 200 prior draws`,
  );
  if (!(largest <= 0.05) || compared < 50)
    throw new Error('bench/peers/posterior.c is not the posterior of packages/evidence: nothing to compare.');
}

const peers = {
  emcee: { debian: 'python3-emcee', look: [python, '-c', 'import emcee'] },
  scipy: { debian: 'python3-scipy', look: [python, '-c', 'import scipy'] },
  R: { debian: 'r-base-core', look: ['Rscript', '--version'] },
} as const;
type Peer = keyof typeof peers;

function missingPeers(): Peer[] {
  return (Object.keys(peers) as Peer[]).filter((name) => {
    const [program, ...args] = peers[name].look;
    return spawnSync(program, args, { stdio: 'ignore' }).status !== 0;
  });
}

/** Which peers are here; says how to install the others, or installs them. */
async function peersHere(): Promise<(name: Peer) => boolean> {
  const missing = missingPeers();
  if (missing.length === 0) return () => true;
  const packages = missing.map((name) => peers[name].debian);
  const remedy = `apt-get install ${packages.join(' ')} on Debian, or npm run bench:peers -- --install`;
  if (!process.argv.includes('--install')) {
    console.log(`Not here, left out: ${missing.join(', ')} (${remedy}).`);
    return (name) => !missing.includes(name);
  }
  const helper = new URL('../tools/support/debian.mjs', import.meta.url).href;
  const tools: { aptInstall(packages: string[], remedy: string): Promise<void> } = await import(helper);
  await tools.aptInstall(packages, remedy);
  const still = missingPeers();
  return (name) => !still.includes(name);
}

/** One thread each, so that the idle threads of a library are not charged to a peer. */
const env = { ...process.env, OPENBLAS_NUM_THREADS: '1', OMP_NUM_THREADS: '1' };

function runsOf(
  [program, ...first]: readonly [string, ...string[]],
  { library, description }: Written,
  ...rest: readonly (string | number)[]
): Run[] {
  const args = [...first, library, description, ...rest.map(String)];
  return JSON.parse(execFileSync(program, args, { encoding: 'utf8', env })) as Run[];
}

function runEnsemble(written: Written, moves: 'stretch' | 'differential'): Run[] {
  const steps = Math.round(budget.evaluations / walkers);
  const counts = [walkers, steps, Math.round(discarded * steps), budget.runs];
  return runsOf([python, '-B', here('peers/ensemble.py')], written, moves, ...counts);
}

function runAdaptive(written: Written): Run[] {
  const counts = [budget.evaluations, discarded * budget.evaluations, budget.runs];
  return runsOf(['Rscript', '--vanilla', here('peers/adaptive.R')], written, ...counts);
}

function runOurs(seed: number, count: number): Run {
  const began = processorMs();
  const { model, scores, diagnostics } = coldFit(problem, { seed, particles: count });
  const seconds = (processorMs() - began) / 1000;
  return { seconds, evaluations: diagnostics.solves, ...momentsOf(scores, model.coordinates.length) };
}

/** Two long fits: their scores together, and how many effective samples their distance from each other speaks for. */
function longReference() {
  const fits = [101, 102].map((seed) => coldFit(problem, { seed, particles: budget.reference }));
  const size = fits[0]!.model.coordinates.length;
  const scores = Float64Array.from(fits.flatMap((fit) => [...fit.scores]));
  const [one, other] = fits.map((fit) => momentsOf(fit.scores, size));
  return { size, scores, moments: momentsOf(scores, size), worth: 4 / squaredError(one!.means, other!) };
}

/** Processor seconds of one evaluation in Python, at draws from the posterior: where a chain spends its time. */
function interpretedSeconds(written: Written, draws: Float64Array): number {
  const interpreted = written.weigh([python, '-B', here('peers/interpreted.py')], draws);
  const compiled = written.weigh([written.program], draws).logPosteriors;
  const differences = compiled.map((value, i) => Math.abs(value - interpreted.logPosteriors[i]!));
  const { seconds, count } = JSON.parse(interpreted.printed) as { seconds: number; count: number };
  console.log(
    `one interpreted evaluation: ${number((1000 * seconds) / count)} ms, at ${count} draws from the posterior; the log ` +
      `posterior differs from the compiled by at most ${Math.max(...differences).toPrecision(2)}`,
  );
  return seconds / count;
}

function against(ours: Judged, peer: Judged, goal: number): void {
  const theirs = peer.effective / peer.seconds;
  const ratio = ours.effective / ours.seconds / theirs;
  const verdict = ratio >= goal ? 'reached' : 'not reached';
  console.log(`ours against ${peer.name}: ${number(ratio)} times (goal ${goal}: ${verdict})`);
}

function compareSamplers(written: Written, isHere: (name: Peer) => boolean): void {
  console.log(`compiled: gcc ${gccFlags.join(' ')}, one tank at a time in double precision`);
  compare(written);
  const reference = longReference();
  console.log(
    `${problem.today} days, ${problem.observations.length} readings, ${reference.size} coordinates; reference: two fits of ` +
      `${budget.reference} particles, worth about ${number(reference.worth)}; peers discard ${100 * discarded} % of a chain\n`,
  );
  const worthRow = (name: string, runs: readonly Run[]): Judged =>
    judge(name, runs, worthOf(runs, reference.moments));
  say(
    'sampler',
    ...['runs', 'evaluations', 's a run', 'ESS a run', 'doubt', 'ESS/s', 'ESS/1000', 'shift', 'spread'],
  );
  const fitted = (count: number): Judged => {
    const fits = Array.from({ length: budget.fits }, (_, i) => runOurs(i + 1, count));
    return worthRow(`ours, ${count} tempered particles`, fits);
  };
  fitted(usualSettings.particles);
  const ours = fitted(particles);
  const ensembles = isHere('emcee')
    ? (['stretch', 'differential'] as const).map((moves) =>
        worthRow(`Python, ensemble, ${moves} moves`, runEnsemble(written, moves)),
      )
    : [];
  const chains = isHere('R') ? [worthRow('R, adaptive Metropolis', runAdaptive(written))] : [];
  console.log('');
  for (const peer of [...ensembles, ...chains]) against(ours, peer, goals.compiled);
  const [best] = [...ensembles].sort((a, b) => b.effective / b.evaluations - a.effective / a.evaluations);
  if (best && isHere('scipy')) {
    const each = interpretedSeconds(written, reference.scores.slice(0, budget.interpreted * reference.size));
    const seconds = best.seconds + best.evaluations * each;
    against(ours, { ...best, name: `${best.name}, interpreted (reckoned)`, seconds }, goals.interpreted);
  }
  if (short) console.log('Short: the chains of the peers are too short to be judged by.');
}

console.log(
  `${cpus()[0]?.model.trim() ?? 'unknown'}, ${cpus().length} cores, load ${loadavg()[0]?.toFixed(1)}; Node ${process.version}`,
);
const isHere = await peersHere();
const written = writePosterior(problem);
if (written)
  try {
    compareSamplers(written, isHere);
  } finally {
    written.remove();
  }
else console.log('No GCC here (Debian: gcc): nothing to compare with.');
