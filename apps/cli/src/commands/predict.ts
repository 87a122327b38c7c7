import { type Nutrient, type Prediction, predict } from '@brinewright/counsel';
import { type Command, Option } from 'commander';
import { predictionAnswer } from '../answers/course.ts';
import { type Io, Refusal } from '../io.ts';
import { nameOf, readTank, type Tank, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { reckoned } from '../journal/reckoned.ts';
import { readInstant } from '../options.ts';
import { type Face, faceOf } from '../paper/face.ts';
import { padEnd, padStart, tame, wrap } from '../paper/text.ts';
import { figure, instantOf, percent } from '../paper/words.ts';
import { heading } from '../sheet/parts.ts';
import { withTankOptions } from './common.ts';

interface PredictOptions extends TankOptions {
  readonly at: number;
  readonly analyte: Nutrient;
  readonly kit: string;
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerPredict(program: Command, io: Io): void {
  withTankOptions(program.command('predict'))
    .description('what a test would show, before it is done')
    .argument('<journal>', 'journal file, or - for standard input')
    .requiredOption('--at <instant>', 'when the test would be done', readInstant)
    .addOption(
      new Option('--analyte <analyte>', 'what would be tested')
        .choices(['ammonia', 'nitrite', 'nitrate'])
        .makeOptionMandatory(),
    )
    .requiredOption('--kit <kit>', 'with which of the kits the journal describes')
    .option('--json', 'answer for a program')
    .option('--plain', 'draw with ASCII alone')
    .action(async (journal: string, options: PredictOptions) => {
      const tank = await readTank(io, journal, options);
      checkKit(tank, options);
      tellDoubts(io, tank.facts);
      const { at, analyte, kit, seed } = options;
      const reckoning = await reckoned(io, tank, { seed });
      const prediction = predictionAnswer(predict(reckoning, { at, analyte, kit }));
      if (options.json) io.out(`${JSON.stringify(prediction)}\n`);
      else io.out(predictionPage(prediction, nameOf(tank.facts), at, faceOf(io, options)));
    });
}

/** The kit has to be described in the journal, and for this analyte: guessing its card would be guessing the answer. */
function checkKit({ facts }: Tank, { kit, analyte }: PredictOptions): void {
  const described = facts.kits.get(kit);
  if (described?.analyte === analyte) return;
  const others = [...facts.kits.values()]
    .filter((each) => each.analyte === analyte)
    .map((each) => tame(each.kit));
  const fault = described
    ? `Kit "${tame(kit)}" tests ${described.analyte}, not ${analyte}.`
    : `The journal describes no kit "${tame(kit)}".`;
  const remedy =
    others.length > 0 ? `For ${analyte} it has ${others.join(', ')}.` : `It has none for ${analyte}.`;
  throw new Refusal(`${fault} ${remedy}`);
}

/** The reading to expect, for a person: the middle, the band, and each step of the card with its probability. */
export function predictionPage(prediction: Prediction, name: string, at: number, face: Face): string {
  const { analyte, as, mean, quantiles, steps } = prediction;
  const expectation =
    `A test of ${analyte} would read ${figure(quantiles['0.5'])} mg/L as ${as}, in 9 of 10 cases ` +
    `${figure(quantiles['0.05'])} – ${figure(quantiles['0.95'])}; mean ${figure(mean)}.`;
  const lines = [
    heading(face, face.say(name), instantOf(at)),
    '',
    ...wrap(face.spell(expectation), face.width),
  ];
  if (steps && steps.length > 0) {
    const values = steps.map(({ value }) => String(value));
    const width = Math.max(...values.map((value) => value.length));
    const room = Math.min(40, face.width - width - 18);
    const full = face.glyphs.bar.at(-1) ?? '';
    lines.push('');
    for (const [index, { probability }] of steps.entries()) {
      const bar = full.repeat(Math.round(probability * room));
      lines.push(
        `  ${padStart(values[index] ?? '', width)}  ${padEnd(percent(probability), 12)}${bar}`.trimEnd(),
      );
    }
  }
  return face.spell(`${lines.join('\n')}\n`);
}
