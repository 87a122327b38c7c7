/**
 * Plants one cause at a time in virtual start-ups of another biology and asks what holds them up:
 * `npm run stalls -- [--cases N] [--first N] [--write]`, N start-ups of each cause. `--write` puts the table into
 * docs/science/stalls.md.
 */
import { parseArgs } from 'node:util';
import { type Cause, causes, reckon } from '@brinewright/counsel';
import { ended } from '@brinewright/evidence';
import { table, writeSection } from './calibration/page.ts';
import { type Planted, plantable, plantedCase } from './calibration/planted.ts';

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '10' },
    first: { type: 'string', default: '1' },
    write: { type: 'boolean', default: false },
  },
});
const [cases, first] = [Number(values.cases), Number(values.first)];

/** Poisons are planted as one and told apart by what was written down beside. */
const poisons = new Set(['STL-CL', 'STL-CU', 'STL-MED']);
const isIt = (planted: Planted, { cause }: Cause): boolean =>
  planted === 'poison' ? poisons.has(cause) : cause === planted;

/** Readings a cause has to have changed to count as one that showed. */
const fewestMarks = 3;

interface Found {
  readonly planted: Planted;
  readonly showed: boolean;
  /** 0 where the planted cause came first. */
  readonly rank: number;
  readonly first: Cause;
}

function find(seed: number, planted: Planted): Found {
  const { facts, asOf, marks } = plantedCase(seed, planted);
  const ranked = causes(ended(reckon(facts, { asOf, days: 30 })));
  const showed = planted === 'sound' || marks >= fewestMarks;
  return { planted, showed, rank: ranked.findIndex((cause) => isIt(planted, cause)), first: ranked[0]! };
}

const percent = (found: readonly Found[], holds: (one: Found) => boolean): string =>
  found.length === 0 ? '–' : `${Math.round((100 * found.filter(holds).length) / found.length)} %`;

const all: Found[] = [];
for (const planted of plantable)
  for (let seed = first; seed < first + cases; seed++) {
    const found = find(seed, planted);
    all.push(found);
    process.stderr.write(
      `${planted} ${seed}: rank ${found.rank + 1}, first ${found.first.cause}${found.showed ? '' : ', left no mark'}\n`,
    );
  }

const [everything, shown] = ['all', 'all that showed'];
const rows = [...plantable, everything, shown].map((name) => {
  const of = all.filter(
    ({ planted, showed }) => planted === name || name === everything || (name === shown && showed),
  );
  const taken = of.filter(({ rank }) => rank > 0).map((one) => one.first.cause);
  const others = [...new Set(taken)].map(
    (cause) => `${cause} ${taken.filter((one) => one === cause).length}`,
  );
  return [
    name,
    of.length,
    percent(of, ({ rank }) => rank === 0),
    percent(of, ({ rank }) => rank < 2),
    percent(of, ({ showed }) => showed),
    name === everything || name === shown ? '' : others.join(', '),
  ];
});
const bins = [0, 0.3, 0.5, 0.7, 0.9];
const trust = bins.map((low, i) => {
  const high = bins[i + 1] ?? 1.01;
  const of = all.filter(({ first: { probability } }) => probability >= low && probability < high);
  return [`${low} to ${Math.min(1, high)}`, of.length, percent(of, ({ rank }) => rank === 0)];
});
const report = `${cases} start-ups of each cause, seeds from ${first}.

${table(['planted', 'n', 'first', 'among the first two', 'showed', 'taken for'], rows)}

How often the first was right, by the probability it was given:

${table(['probability', 'n', 'right'], trust)}`;
console.log(report);
if (values.write) writeSection('planted causes', report, 'stalls.md');
