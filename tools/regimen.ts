/**
 * Judges the advice by its outcome: `npm run regimen -- [tanks] [particles] [seed]`. Virtual tanks of another biology
 * than the fitted model's, with planted troubles, are started twice: once by the usual rules of thumb, once by the
 * orders. What is compared is paired, tank by tank; the interval is the 90 % bootstrap interval of the mean difference.
 */
import { type Random, stream } from './calibration/random.ts';
import { byOrders } from './regimen/by-orders.ts';
import type { Outcome } from './regimen/outcome.ts';
import { byRuleOfThumb } from './regimen/rule-of-thumb.ts';
import { drawWorld, type World } from './virtual/world.ts';

/** The same tank started three ways: by two rules of thumb, and by the orders. */
interface Trial {
  readonly day: Outcome;
  readonly zero: Outcome;
  readonly orders: Outcome;
}

const measures: readonly (readonly [string, (outcome: Outcome) => number])[] = [
  ['days until called ready', ({ day }) => day],
  ['called ready in time, %', ({ finished }) => 100 * Number(finished)],
  ['tests', ({ tests }) => tests],
  ['ammonia poured, mg N/L', ({ ammonia }) => ammonia],
  ['wrong “ready”, %', ({ wrong }) => 100 * Number(wrong)],
  ['hours of exposure', ({ exposure }) => exposure],
];

export function trialOf(seed: number, particles: number): Trial & { troubles: string } {
  const world = (): World => drawWorld(stream(seed, 1));
  const random = (): Random => stream(seed, 2);
  return {
    troubles: [world().route, ...world().troubles].join(', '),
    day: byRuleOfThumb(world(), random(), 'gone-in-a-day'),
    zero: byRuleOfThumb(world(), random(), 'both-zero'),
    orders: byOrders(world(), random(), particles),
  };
}

/** Mean and 90 % bootstrap interval of paired differences. */
export function paired(
  differences: readonly number[],
  seed = 9,
): { mean: number; low: number; high: number } {
  const random = stream(seed, differences.length);
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, one) => sum + one, 0) / values.length;
  const means = Array.from({ length: 2000 }, () =>
    mean(differences.map(() => differences[Math.floor(random.uniform() * differences.length)]!)),
  ).sort((a, b) => a - b);
  return { mean: mean(differences), low: means[100]!, high: means[1900]! };
}

const said = ({ day, finished, tests, wrong, exposure }: Outcome): string =>
  `${finished ? `day ${day}` : 'never'}, ${tests} tests${wrong ? ', WRONG' : ''}, ${exposure} h`;

function main(): void {
  const [tanks = 8, particles = 256, seed = 1] = process.argv.slice(2).map(Number);
  const trials: Trial[] = [];
  for (let tank = 0; tank < tanks; tank++) {
    const trial = trialOf(seed * 1000 + tank, particles);
    trials.push(trial);
    console.log(
      `${tank + 1}: ${trial.troubles}\n   gone in a day: ${said(trial.day)}; both zero: ${said(trial.zero)}; orders: ${said(trial.orders)}`,
    );
  }
  for (const [rule, title] of rules) {
    console.log(`\n${title}: ${tanks} tanks, ${particles} particles`);
    console.log(`${''.padEnd(28)}     rule   orders   difference (90 % interval)`);
    for (const [name, of] of measures) console.log(line(trials, rule, name, of));
  }
}

const rules = [
  ['day', 'Against “a full dose gone in a day”'],
  ['zero', 'Against “both at zero”'],
] as const;

function line(
  trials: readonly Trial[],
  rule: 'day' | 'zero',
  name: string,
  of: (outcome: Outcome) => number,
): string {
  const mean = (which: keyof Trial): string =>
    (trials.reduce((sum, trial) => sum + of(trial[which]), 0) / trials.length).toFixed(1).padStart(9);
  const gap = paired(trials.map((trial) => of(trial.orders) - of(trial[rule])));
  const interval = `(${gap.low.toFixed(1)} to ${gap.high.toFixed(1)})`;
  return `${name.padEnd(28)}${mean(rule)}${mean('orders')}${gap.mean.toFixed(1).padStart(11)} ${interval}`;
}

if (process.argv[1]?.endsWith('regimen.ts')) main();
