import { stream } from '../calibration/random.ts';
import { findable, lastDay, type Outcome } from './outcome.ts';
import { type Phase, phases } from './phase.ts';
import { type Keeper, keepers, type Trial } from './trial.ts';

const tested = ['ammonia', 'nitrite', 'nitrate', 'pH', 'alkalinity'] as const;

type Measure = readonly [name: string, of: (outcome: Outcome) => number];

const measures: readonly Measure[] = [
  ['days until called ready', ({ day }) => day],
  [
    '… after it was able',
    ({ day, able, wrong, finished }) => (finished && !wrong ? Math.max(0, day - able) : NaN),
  ],
  ['called ready in time, %', ({ finished }) => 100 * Number(finished)],
  ['rightly ready in time, %', ({ finished, wrong }) => 100 * Number(finished && !wrong)],
  ['wrong “ready”, %', ({ wrong }) => 100 * Number(wrong)],
  ['tests', ({ tests }) => tests],
  ['… where both were right', ({ tests, finished, wrong }) => (finished && !wrong ? tests : NaN)],
  ['… once it was able', ({ testsOnceAble }) => testsOnceAble],
  ['causes named that were not there', ({ misnamed }) => misnamed],
  ['further bottles of culture', ({ bottles }) => bottles],
  ['nitrogen put in, mg/L', ({ ammonia }) => ammonia],
  ['hours of concern', ({ exposure }) => exposure.hoursOfConcern],
  ['hours of emergency', ({ exposure }) => exposure.hoursOfEmergency],
  ['above the acute limit, mg·h/L', ({ exposure }) => exposure.acuteDose],
];

/** Mean and 90 % bootstrap interval of paired differences; what is not a number is left out. */
export function paired(
  differences: readonly number[],
  seed = 9,
  of: (values: readonly number[]) => number = meanOf,
): { mean: number; low: number; high: number } {
  const known = differences.filter((one) => !Number.isNaN(one));
  const random = stream(seed, known.length);
  const again = (): number[] => known.map(() => known[Math.floor(random.uniform() * known.length)]!);
  const means = Array.from({ length: 2000 }, () => of(again())).sort((a, b) => a - b);
  return { mean: of(known), low: means[100]!, high: means[1900]! };
}

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, one) => sum + one, 0) / values.length;

export function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return ((sorted[(sorted.length - 1) >> 1] ?? NaN) + (sorted[sorted.length >> 1] ?? NaN)) / 2;
}

const shown = (value: number): string => (Number.isNaN(value) ? '–' : value.toFixed(1));
const row = (name: string, cells: readonly string[]): string =>
  `${name.padEnd(32)}${cells.map((cell) => cell.padStart(17)).join('')}`;

/** Tables of a run: every keeper's means, the orders less each rule with intervals, and when troubles were found. */
export function summary(trials: readonly Trial[]): string {
  const known = (values: readonly number[]): number[] => values.filter((one) => !Number.isNaN(one));
  const values = (keeper: Keeper, of: Measure[1]): number[] =>
    trials.map(({ outcomes }) => of(outcomes[keeper]));
  const rivals = keepers.filter((keeper) => keeper !== 'orders');
  const gap = (rule: Keeper, of: Measure[1]): string => {
    const { mean, low, high } = paired(
      trials.map(({ outcomes }) => of(outcomes.orders) - of(outcomes[rule])),
    );
    return `${shown(mean)} (${low.toFixed(0)}…${high.toFixed(0)})`;
  };
  const median = (keeper: Keeper): string => shown(medianOf(values(keeper, ({ day }) => day)));
  const forEachRight = (keeper: Keeper): string => {
    const right = values(keeper, ({ finished, wrong }) => Number(finished && !wrong));
    return shown(meanOf(values(keeper, ({ tests }) => tests)) / meanOf(right));
  };
  return [
    row('mean of each', keepers),
    ...measures.map(([name, of]) =>
      row(
        name,
        keepers.map((keeper) => shown(meanOf(known(values(keeper, of))))),
      ),
    ),
    row('median day called ready', keepers.map(median)),
    row('tests for each rightly ready', keepers.map(forEachRight)),
    '',
    row('orders less the rule (90 %)', rivals),
    ...measures.map(([name, of]) =>
      row(
        name,
        rivals.map((rule) => gap(rule, of)),
      ),
    ),
    '',
    row('median day a trouble was found', keepers),
    ...findable.map((trouble) => foundLine(trials, trouble)),
    '',
    ...(['both-zero', 'orders'] as const).flatMap((keeper) => spentLines(trials, keeper)),
  ].join('\n');
}

/** Median day, a trouble never found counted as the last day, and in how many of the tanks that had it. */
function foundLine(trials: readonly Trial[], trouble: (typeof findable)[number]): string {
  const had = trials.filter(({ troubles }) => troubles.has(trouble));
  return row(
    `${trouble} (${had.length} tanks)`,
    keepers.map((keeper) => {
      const days = had.map(({ outcomes }) => outcomes[keeper].found.get(trouble));
      const found = days.filter((day) => day !== undefined).length;
      return `${shown(medianOf(days.map((day) => day ?? lastDay)))} (${found})`;
    }),
  );
}

/** Tests a tank in each phase, by analyte. */
function spentLines(trials: readonly Trial[], keeper: Keeper): string[] {
  const count = (phase: Phase, analyte: string): number =>
    trials.reduce((sum, { outcomes }) => sum + (outcomes[keeper].spent.get(phase)?.get(analyte) ?? 0), 0);
  const cells = (counts: readonly number[]): string[] =>
    [...counts, counts.reduce((sum, one) => sum + one, 0)].map((one) => (one / trials.length).toFixed(1));
  return [
    row(`tests a tank, ${keeper}`, [...tested, 'all']),
    ...phases.map((phase) => row(phase, cells(tested.map((analyte) => count(phase, analyte))))),
    row('all', cells(tested.map((analyte) => phases.reduce((sum, phase) => sum + count(phase, analyte), 0)))),
    '',
  ];
}

/** One tank in a line or two, for progress. */
export function said({ beginning, troubles, outcomes }: Trial): string {
  const line = keepers.map((keeper) => {
    const { day, finished, wrong, tests, able } = outcomes[keeper];
    return `${keeper} ${finished ? day : 'never'}${wrong ? ' WRONG' : ''} (able ${able}, ${tests} tests)`;
  });
  return `${[beginning, ...troubles].join(', ')}\n   ${line.join('; ')}`;
}
