import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { coordinatesOf, type Instrument, type Observation, type Problem } from '@brinewright/evidence';
import {
  type BiologyName,
  biologyIndex,
  biologyNames,
  compilePlan,
  medianBiology,
  packBiology,
  quickSettings,
  type Stop,
  stateIndex,
  stateWidth,
} from '@brinewright/nitrogen';
import { gccFlags, gccHere, here } from './solvers.ts';

/** As in the model; that they agree is checked by weighing the same draws (bench/samplers.ts). */
const spellDays = 7;
const slip = 0.03;

type At = (name: string) => number;

/** One number handed to the kernel: factor · first · second^power, of coordinates; places run through biology, start, amounts. */
type Recipe = readonly [place: number, factor: number, first: number, second: number, power: -1 | 0 | 1];

/** The stops of the problem in the order of the model's, and what their amounts are made of. */
function passage(problem: Problem, at: At): { stops: Stop[]; recipes: Recipe[]; width: number } {
  const stops: Stop[] = [{ day: 0, kind: 'segment', slot: 0 }];
  const recipes: Recipe[] = [];
  const firstAmount = biologyNames.length + stateWidth;
  let width = 0;
  const amount = (factor: number, first: number, second: number, power: Recipe[4]): number => {
    recipes.push([firstAmount + width, factor, first, second, power]);
    return width++;
  };
  for (let spell = 0; spell * spellDays <= problem.today; spell++) {
    const day = spell * spellDays;
    const [vigour, hidden] = [at(`vigour:${spell}`), at(`hidden:${spell}`)];
    stops.push({ day, kind: 'vigour', slot: amount(1, vigour, vigour, 0) });
    stops.push({ day, kind: 'load', slot: amount(1, at('hidden'), hidden, 1) });
  }
  const testDays = [...new Set(problem.observations.map(({ day }) => day))];
  for (const [slot, day] of testDays.entries()) stops.push({ day, kind: 'output', slot });
  for (const deed of problem.deeds) {
    if (deed.kind !== 'ammonia' || deed.size.form !== 'known' || testDays.includes(deed.day))
      throw new RangeError(
        `the peers know measured doses on days without a test, not ${JSON.stringify(deed)}`,
      );
    const slot = amount(deed.size.amount, at('dose'), at('volume'), -1);
    stops.push({ day: deed.day, kind: 'ammonia', slot });
  }
  return { stops: stops.sort((a, b) => a.day - b.day), recipes, width };
}

/** What biology and the first water are made of. */
function beginnings(names: readonly string[], at: At): Recipe[] {
  const plain = (place: number, from: number, factor = 1): Recipe => [place, factor, from, from, 0];
  const water = biologyNames.length;
  const start = (state: keyof typeof stateIndex, name: string): Recipe =>
    plain(water + stateIndex[state], at(name));
  return [
    ...names.flatMap((name, from) =>
      name in biologyIndex ? [plain(biologyIndex[name as BiologyName], from)] : [],
    ),
    plain(biologyIndex.ceilingN, at('ceilingA'), 1.2),
    start('ammonia', 'ammonia0'),
    start('nitrite', 'nitrite0'),
    start('nitrate', 'nitrate0'),
    start('alkalinity', 'alkalinity0'),
    start('food', 'organic0'),
    start('capacityA', 'inoculum'),
    [water + stateIndex.capacityN, 1, at('inoculum'), at('ratio'), 1],
  ];
}

/** A reading of a card as the peers weigh it: ends on the scale ln (c + offset), the bias's place, chances of a slip. */
function readingNumbers(
  { day, instrument, low, high }: Observation,
  card: Instrument,
  testDays: readonly number[],
  at: At,
): number[] {
  if (card.form !== 'card') throw new RangeError('the peers read cards only');
  const offset = card.steps[1]! / 2;
  const place = (level: number): number => (level <= 0 ? -Infinity : Math.log(level + offset));
  const top = card.analyte === 'nitrite' ? card.steps.at(-1)! : Infinity;
  const ifFailed = low <= 0 || high === Infinity ? 0 : 1 / (card.steps.length - 2);
  return [
    ...[testDays.indexOf(day), stateIndex[card.analyte], at(`bias:${instrument}`)],
    ...[place(low), place(high), offset, top, ifFailed, slip / card.steps.length, 1 - slip],
  ];
}

/** The posterior as one row of numbers, which the peers read. */
function describe(problem: Problem): Float64Array {
  const coordinates = coordinatesOf(problem, problem.today);
  const names = coordinates.map(({ name }) => name);
  const at: At = (name) => {
    const place = names.indexOf(name);
    if (place < 0) throw new RangeError(`this problem has no coordinate "${name}"`);
    return place;
  };
  const { stops, recipes, width } = passage(problem, at);
  const plan = compilePlan(stops, problem.surroundings.slice(0, 1));
  const made = [...beginnings(names, at), ...recipes];
  const testDays = [...new Set(problem.observations.map(({ day }) => day))];
  const readings = problem.observations.map((one) =>
    readingNumbers(one, problem.instruments[one.instrument]!, testDays, at),
  );
  const shapes = ['lognormal', 'normal', 'logit-normal'];
  return Float64Array.from([
    ...[plan.days.length, 1, names.length, width, plan.outputs, made.length, readings.length],
    ...[at('blur'), at('tint'), at('cross'), quickSettings.tolerance],
    ...[...plan.days, ...plan.kinds, ...plan.slots, ...plan.segments],
    ...packBiology(medianBiology),
    ...coordinates.flatMap(({ prior }) => [shapes.indexOf(prior.shape), prior.centre, prior.spread]),
    ...made.flat(),
    ...readings.flat(),
  ]);
}

const bytesOf = (numbers: Float64Array): Buffer =>
  Buffer.from(numbers.buffer, numbers.byteOffset, numbers.byteLength);

function numbersIn(path: string): Float64Array {
  const bytes = readFileSync(path);
  return new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
}

/** A posterior written down for the peers and compiled in C. */
export interface Written {
  readonly description: string;
  /** The shared library. */
  readonly library: string;
  /** Has a program (which takes the description, scores and a place for its answer as its last arguments) weigh scores. */
  weigh(program: readonly string[], scores: Float64Array): { logPosteriors: Float64Array; printed: string };
  /** The compiled posterior as such a program. */
  readonly program: string;
  remove(): void;
}

/** Null where there is no GCC. */
export function writePosterior(problem: Problem): Written | null {
  if (!gccHere()) return null;
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-posterior-'));
  const [description, library, program] = ['description', 'posterior.so', 'posterior'].map((name) =>
    join(folder, name),
  ) as [string, string, string];
  writeFileSync(description, bytesOf(describe(problem)));
  const sources = ['posterior.c', 'scalar.c'].map((name) => here(`peers/${name}`));
  for (const [target, more] of [
    [library, ['-shared', '-fPIC']],
    [program, []],
  ] as const)
    execFileSync('gcc', [...gccFlags, ...more, '-o', target, ...sources, '-lm']);
  return {
    description,
    library,
    program,
    weigh([command, ...args], scores) {
      const [asked, found] = [join(folder, 'scores'), join(folder, 'found')];
      writeFileSync(asked, bytesOf(scores));
      const printed = execFileSync(command!, [...args, description, asked, found], { encoding: 'utf8' });
      return { logPosteriors: numbersIn(found), printed };
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
