import { FormulaFault, type Measured, milligramsPerGram, propagate } from '@brinewright/seawater';
import type { CautionId } from '../cautions/cautions.ts';
import { InputFault } from '../input-fault.ts';
import { figure, step, type Worked, worked } from '../worked.ts';
import { daysFor, safeStepPerDay } from './safe-steps.ts';

/** A mineral whose level is raised. */
export type Mineral = 'calcium' | 'magnesium';

/** mg/L in natural seawater at salinity 35 [MFWM08], and above which deposits or imbalance are likely (our judgement). */
const NATURAL = { calcium: 420, magnesium: 1310 } as const;
const HIGHEST = { calcium: 480, magnesium: 1500 } as const;

const element = { calcium: 'Ca', magnesium: 'Mg' } as const;

/** Grams of a salt, named by its formula, for a rise of calcium or magnesium (mg/L), in safe daily parts. */
export function raiseMineral(rise: {
  mineral: Mineral;
  litres: Measured;
  now: Measured;
  target: Measured;
  formula: string;
  purity: Measured;
}): Worked {
  const { mineral, litres, now, target, formula, purity } = rise;
  const gain = target.value - now.value;
  if (gain <= 0) throw new InputFault('target', `${mineral} is there already`, 'Nothing need be added.');
  const perGram = yieldOf(formula, element[mineral]);
  const grams = propagate(({ v, a, b, p }) => (v * (b - a)) / (perGram * p), {
    v: litres,
    a: now,
    b: target,
    p: purity,
  });
  const days = daysFor(gain, safeStepPerDay[mineral]);
  return worked({
    results: [
      figure('grams', `${formula} in all`, grams, 'g'),
      figure('days', 'Days to spread it over, with animals in the water', days, 'd', 1),
      figure('perDay', `${formula} a day`, { value: grams.value / days, sd: grams.sd / days }, 'g'),
    ],
    working: [
      step(`${element[mineral]} in ${formula}`, perGram, 'mg/g', 'molar masses', 'IUPAC05'),
      step(
        'most in a day',
        safeStepPerDay[mineral],
        'mg/L',
        'with animals in the water',
        'customary practice',
      ),
    ],
    warnings: [
      ...(mineral === 'calcium'
        ? [
            'Never dissolve it with, or pour it soon after, bicarbonate or carbonate: chalk falls out.',
            'Calcium chloride takes up water in storage: trust the calcium test over the scale.',
          ]
        : []),
      ...(target.value > HIGHEST[mineral]
        ? [`${target.value} mg/L is above anything useful; natural seawater holds about ${NATURAL[mineral]}.`]
        : []),
      'A percentage on a label refers to one formula: give that formula, and the percentage as purity.',
      'Measure again after it has mixed for some hours, before the next part.',
    ],
    cautions: cautionsOf(formula),
    entries: [
      { kind: 'dose', body: { substance: mineral, grams: Math.round((100 * grams.value) / days) / 100 } },
    ],
  });
}

/** mg of the element per g of the salt. */
function yieldOf(formula: string, wanted: string): number {
  try {
    const perGram = milligramsPerGram(formula, wanted);
    if (perGram > 0) return perGram;
  } catch (error) {
    if (!(error instanceof FormulaFault)) throw error;
    throw new InputFault('formula', error.message, 'Write a formula such as CaCl2·2H2O or MgCl2·6H2O.');
  }
  throw new InputFault('formula', `${formula} holds no ${wanted}`, `Name a salt that brings ${wanted}.`);
}

/** Calcium chloride heats as it dissolves, hydroxide burns. */
function cautionsOf(formula: string): CautionId[] {
  if (/OH/.test(formula)) return ['CAU-C2'];
  return /^Ca/.test(formula) ? ['CAU-C1'] : [];
}
