import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  biologyIndex as B,
  newReport,
  openBatch,
  quickSettings,
  run,
  stateIndex as S,
  stateWidth,
  stopKind,
} from '@brinewright/nitrogen';
import { rowOf, type Tanks } from './tanks.ts';

/** What one way of solving took: seconds a solve, states of the tanks solved. */
export interface Solved {
  readonly seconds: number;
  readonly states: Float64Array;
  readonly count: number;
}

/** Least seconds of several passes, chunk by chunk: other programs use the machine too. */
function leastTime(chunks: number, passes: number, go: (chunk: number) => void): number {
  const best = new Float64Array(chunks).fill(Infinity);
  for (let pass = 0; pass < passes; pass++)
    for (let chunk = 0; chunk < chunks; chunk++) {
      const began = performance.now();
      go(chunk);
      best[chunk] = Math.min(best[chunk]!, (performance.now() - began) / 1000);
    }
  return best.reduce((sum, seconds) => sum + seconds, 0);
}

/** Our kernel in TypeScript, a tank at a time in double precision. */
export function solvePlain({ plan, count, biology, start, amounts }: Tanks, passes: number): Solved {
  const states = new Float64Array(count * plan.outputs * stateWidth);
  const report = newReport();
  const parts = Array.from({ length: count }, (_, i) =>
    [biology, start, amounts, states].map((table) => rowOf(table, count, i)),
  );
  const seconds = leastTime(count, passes, (i) => {
    const [constants, begin, own, out] = parts[i]!;
    run(constants!, begin!, plan, own!, out!, quickSettings, report);
  });
  return { seconds: seconds / count, states, count };
}

/** Our kernel in WebAssembly, in blocks of 128 tanks like those of a fit, copying in and out included. */
export function solveVector({ plan, count, width, ...tanks }: Tanks, passes: number): Solved {
  const block = 128;
  const batch = openBatch({ plan, width, capacity: block });
  const states = new Float64Array(count * plan.outputs * stateWidth);
  const sizes = [
    [tanks.biology, batch.biology],
    [tanks.start, batch.start],
    [tanks.amounts, batch.amounts],
  ] as const;
  const seconds = leastTime(Math.ceil(count / block), passes, (chunk) => {
    const from = chunk * block;
    const here = Math.min(block, count - from);
    for (const [all, into] of sizes) {
      const size = all.length / count;
      into.set(all.subarray(from * size, (from + here) * size));
    }
    batch.run(here);
    const size = states.length / count;
    states.set(batch.states.subarray(0, here * size), from * size);
  });
  return { seconds: seconds / count, states, count };
}

/** The tanks as one row of numbers, which the peers in other languages read. */
function numbersOf({ plan, count, width, biology, start, amounts }: Tanks): Float64Array {
  const segments = plan.segments.length / 4;
  return Float64Array.from([
    ...[plan.days.length, segments, count, width, plan.outputs],
    ...[...plan.days, ...plan.kinds, ...plan.slots, ...plan.segments],
    ...[...biology, ...start, ...amounts],
  ]);
}

/** Path of a file of this folder. */
export const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export const python = '/usr/bin/python3';
/** As anybody builds a program, and with all that this very processor can do and arithmetic taken freely. */
export const plainFlags = ['-O3'];
export const gccFlags = [...plainFlags, '-march=native', '-ffast-math', '-fno-finite-math-only'];

export const gccHere = (): boolean => spawnSync('gcc', ['--version']).status === 0;

/** Hands the tanks to a program as a file and reads its seconds (printed as JSON) and states (written to a file). */
function solveElsewhere(tanks: Tanks, command: (input: string, output: string) => readonly string[]): Solved {
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-bench-'));
  try {
    const [input, output] = [join(folder, 'tanks.bin'), join(folder, 'states.bin')];
    writeFileSync(input, Buffer.from(numbersOf(tanks).buffer));
    const [program, ...args] = command(input, output);
    const printed = execFileSync(program!, args, { encoding: 'utf8' });
    const { seconds, count = tanks.count }: { seconds: number; count?: number } = JSON.parse(printed);
    const bytes = readFileSync(output);
    const states = new Float64Array(
      bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength),
    );
    return { seconds: seconds / count, states, count };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The peers in C, compiled here in both ways; null where there is no GCC. */
export function compilePeers(): { plain: string; native: string; remove(): void } | null {
  if (!gccHere()) return null;
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-peers-'));
  const sources = ['main.c', 'scalar.c', 'vector.c'].map((name) => here(`peers/${name}`));
  const compiled = (name: string, flags: readonly string[]): string => {
    const path = join(folder, name);
    execFileSync('gcc', [...flags, '-o', path, ...sources, '-lm']);
    return path;
  };
  return {
    plain: compiled('plain', plainFlags),
    native: compiled('native', gccFlags),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

export const solveInC = (tanks: Tanks, path: string, kind: 'scalar' | 'vector', passes: number): Solved =>
  solveElsewhere(tanks, (input, output) => [
    path,
    input,
    kind,
    String(quickSettings.tolerance),
    String(passes),
    output,
  ]);

/** SciPy's solvers driven from Python, the derivative in Python; null where there is no SciPy. */
export function solveInPython(tanks: Tanks, method: string, tolerance: number): Solved | null {
  if (spawnSync(python, ['-c', 'import scipy']).status !== 0) return null;
  return solveElsewhere(tanks, (input, output) => [
    python,
    '-B',
    here('peers/general.py'),
    input,
    method,
    String(tolerance),
    output,
  ]);
}

/** deSolve's solvers driven from R, the derivative in R or in C; null where there is no deSolve, or no GCC for the latter. */
export function solveInR(
  tanks: Tanks,
  method: string,
  tolerance: number,
  derivative: 'in R' | 'in C',
): Solved | null {
  if (spawnSync('Rscript', ['-e', 'library(deSolve)'], { stdio: 'ignore' }).status !== 0) return null;
  if (derivative === 'in C' && !gccHere()) return null;
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-slope-'));
  try {
    const library = join(folder, 'slope.so');
    if (derivative === 'in C')
      execFileSync('gcc', [...gccFlags, '-shared', '-fPIC', '-o', library, here('peers/slope.c'), '-lm']);
    return solveElsewhere(tanks, (input, output) => [
      ...['Rscript', '--vanilla', here('peers/general.R'), input, method, String(tolerance), output],
      ...[here('peers/water.R'), ...(derivative === 'in C' ? [library] : [])],
    ]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Absolute over relative tolerance of the general solvers: young tanks hold a ten-thousandth of what they grow to. */
const absoluteShare = 1e-3;

interface GeneralSolver {
  absoluteTolerance: number;
  relativeTolerance: number;
  solve(
    slope: (t: number, y: number[]) => number[],
    from: number,
    start: number[],
    to: number,
  ): { y: number[] };
}

/** A general solver from the registry (odex, Gragg–Bulirsch–Stoer), restarted at every stop; no allocation spared. */
export function solveGenerally(tanks: Tanks, tolerance: number, passes: number): Solved {
  const { Solver } = createRequire(import.meta.url)('odex') as {
    Solver: new (size: number) => GeneralSolver;
  };
  const { plan, count, biology, start, amounts } = tanks;
  const states = new Float64Array(count * plan.outputs * stateWidth);
  const seconds = leastTime(count, passes, (i) =>
    generalRun(
      () => new Solver(8),
      tolerance,
      plan,
      rowOf(biology, count, i),
      rowOf(start, count, i),
      rowOf(amounts, count, i),
      rowOf(states, count, i),
    ),
  );
  return { seconds: seconds / count, states, count };
}

function generalRun(
  open: () => GeneralSolver,
  tolerance: number,
  plan: Tanks['plan'],
  b: Float64Array,
  start: Float64Array,
  amounts: Float64Array,
  out: Float64Array,
): void {
  const order = [
    S.ammonia,
    S.nitrite,
    S.nitrate,
    S.food,
    S.dissolved,
    S.capacityA,
    S.capacityN,
    S.alkalinity,
  ];
  let y = order.map((name) => start[name]!);
  let [factorA, factorN, freeShare, decay, load, inoculated] = [1, 1, 0, 1, 0, 0];
  let [asleepA, asleepN, day] = [1, 1, 0];
  const solver = open();
  solver.absoluteTolerance = tolerance * absoluteShare;
  solver.relativeTolerance = tolerance;
  for (const [stop, until] of plan.days.entries()) {
    const from = day;
    const [sleepA, sleepN] = [asleepA, asleepN];
    const slope = (t: number, [a, n, x, food, dissolved, qa, qn, k]: number[]): number[] => {
      const awakeA = 1 - sleepA * Math.exp(-(t - from) / b[B.wakeA]!);
      const awakeN = 1 - sleepN * Math.exp(-(t - from) / b[B.wakeN]!);
      const halfAlk = b[B.halfAlkalinity]!;
      const mostA = ((factorA * awakeA * (halfAlk + 2.3)) / 2.3) * qa!;
      const mostN = factorN * awakeN * qn!;
      const kA = Math.max(b[B.halfA]!, mostA / 80);
      const kN = Math.max(b[B.halfN]!, mostN / 80);
      const selfA = b[B.selfA]!;
      const selfN = b[B.selfN]!;
      const rA = (mostA * a! * selfA * k!) / ((kA + a!) * (selfA + a!) * (halfAlk + k!));
      const rN =
        (mostN * n! * selfN) / ((kN + n!) * (selfN + n!) * (1 + (freeShare * a!) / b[B.freeAmmoniaN]!));
      const taking = b[B.algae]! / ((0.1 + x!) * (0.05 + a!));
      const ripe = Math.min(1, Math.max(0, (t - 20) / 40));
      const broken = b[B.breakUp]! * decay * food!;
      const freed = b[B.ammonify]! * decay * dissolved!;
      return [
        freed + load - rA - taking * a! * (0.1 + x!),
        0.98 * rA - rN,
        0.99 * rN - (0.025 * taking + b[B.denitrify]! * ripe) * x!,
        -broken,
        b[B.mineralised]! * broken - freed,
        b[B.growthA]! * rA * (1 - qa! / b[B.ceilingA]!) - b[B.lossA]! * awakeA * qa! + b[B.arriving]!,
        b[B.growthN]! * rN * (1 - qn! / b[B.ceilingN]!) - b[B.lossN]! * awakeN * qn! + b[B.arriving]!,
        (freed - 1.96 * rA) / 14.007,
      ];
    };
    if (until > day) {
      ({ y } = solver.solve(slope, day, y, until));
      asleepA *= Math.exp(-(until - day) / b[B.wakeA]!);
      asleepN *= Math.exp(-(until - day) / b[B.wakeN]!);
      day = until;
    }
    const slot = plan.slots[stop]!;
    const amount = amounts[slot]!;
    switch (plan.kinds[stop]) {
      case stopKind.output:
        for (const [index, name] of order.entries()) out[slot * stateWidth + name] = y[index]!;
        break;
      case stopKind.segment:
        [factorA, factorN, freeShare, decay] = [...plan.segments.subarray(4 * slot, 4 * slot + 4)] as [
          number,
          number,
          number,
          number,
        ];
        break;
      case stopKind.load:
        load = amount;
        break;
      case stopKind.ammonia:
        y[0] = y[0]! + amount;
        break;
      case stopKind.culture: {
        const other = amounts[slot + 1]!;
        asleepA = (asleepA * y[5]! + amount) / (y[5]! + amount);
        asleepN = (asleepN * y[6]! + other) / (y[6]! + other);
        y[5] = y[5]! + amount;
        y[6] = y[6]! + other;
        inoculated = day;
        break;
      }
      case stopKind.exchange: {
        const stay = 1 - amount * Math.exp(-(day - inoculated) / b[B.attach]!);
        const kept = 1 - amount;
        const [a, n, x, food, dissolved, qa, qn, k] = y as [
          number,
          number,
          number,
          number,
          number,
          number,
          number,
          number,
        ];
        const nitrate = kept * x + amount * amounts[slot + 1]!;
        y = [kept * a, kept * n, nitrate, food, kept * dissolved, qa * stay, qn * stay];
        y.push(kept * k + amount * amounts[slot + 2]!);
        break;
      }
    }
  }
}
