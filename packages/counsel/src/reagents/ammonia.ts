import {
  alkalinityPerMole,
  atomicWeights,
  FormulaFault,
  freeAmmoniaFraction,
  fromNitrogen,
  type Measured,
  milligramsPerGram,
  molarMass,
  nitrogenForms,
  propagate,
  rangeOf,
} from '@brinewright/seawater';
import type { CautionId } from '../cautions/cautions.ts';
import { InputFault } from '../input-fault.ts';
import { type Draft, type Figure, figure, type Step, step, stepBy, type Worked, worked } from '../worked.ts';

/** Total ammonia, mg/L as N, above which a start-up tank should not be taken; more adds nothing and slows nitrite oxidisers. */
export const MOST_AMMONIA = 4;

/** Drops of water-like liquid in a millilitre: a dropper's habit, not a constant. Our judgement. */
export const DROPS_PER_ML: Measured = { value: 20, sd: 3 };

/** Where the ammonia comes from: a dry salt by formula, or a solution by its strength. */
export type AmmoniaSource =
  | { kind: 'salt'; formula: string; purity: Measured }
  | { kind: 'solution'; mgNPerMl: Measured; formula: string };

/** Yield of nitrogen of a formula, mg/g; a fault of input where it has none or cannot be read. */
export function nitrogenYield(field: string, formula: string): number {
  try {
    const yieldPerGram = milligramsPerGram(formula, 'N');
    if (yieldPerGram > 0) return yieldPerGram;
  } catch (error) {
    if (!(error instanceof FormulaFault)) throw error;
    throw new InputFault(field, error.message, 'Write a formula such as NH4Cl, (NH4)2SO4 or NH3.');
  }
  throw new InputFault(field, `${formula} holds no nitrogen`, 'Name the salt that brings the ammonia.');
}

/** meq of alkalinity that comes with a mg of nitrogen of this source; 0 where the formula does not tell. */
export function alkalinityPerMgN(formula: string): number {
  try {
    return (1000 * alkalinityPerMole(formula)) / (milligramsPerGram(formula, 'N') * molarMass(formula));
  } catch (error) {
    if (error instanceof FormulaFault) return 0;
    throw error;
  }
}

const cautionsOf = (source: AmmoniaSource): CautionId[] =>
  source.kind === 'salt' ? ['CAU-A2', 'CAU-A3'] : ['CAU-A1', 'CAU-A2'];

/** How much of the source to add so that total ammonia rises from what is there to the target. */
export function ammoniaDose(dose: {
  litres: Measured;
  now: Measured;
  target: Measured;
  source: AmmoniaSource;
  pH: Measured;
  salinity: Measured;
  temperatureC: Measured;
}): Worked {
  const { litres, now, target, source, pH, salinity, temperatureC } = dose;
  if (target.value <= now.value)
    throw new InputFault(
      'target',
      'the water holds as much already',
      'No dose is needed; wait and test again.',
    );
  const perGram = nitrogenYield('formula', source.formula);
  const milligrams = propagate(({ v, a, b }) => v * (b - a), { v: litres, a: now, b: target });
  const amount = amountOf(source, milligrams, perGram);
  // The dose is weighed; what is uncertain is the water it meets.
  const reached = propagate(({ v, a }) => a + milligrams.value / v, { v: litres, a: now });
  const alkalinity = (alkalinityPerMgN(source.formula) * milligrams.value) / litres.value;
  const water = {
    pH: pH.value,
    pHScale: 'NBS',
    salinity: salinity.value,
    temperatureC: temperatureC.value,
  } as const;
  const free = propagate(
    ({ c, p, s, t }) => c * freeAmmoniaFraction({ pH: p, pHScale: 'NBS', salinity: s, temperatureC: t }),
    { c: reached, p: pH, s: salinity, t: temperatureC },
  );
  return worked({
    results: [
      ...amount.figures,
      figure('nitrogen', 'Nitrogen in it', milligrams, 'mg N'),
      figure('reached', 'Total ammonia it leads to', reached, 'mg/L as N'),
      figure('free', 'Of that, un-ionised', free, 'mg/L NH3 as N'),
      figure('alkalinity', 'Alkalinity it brings', alkalinity, 'meq/L'),
    ],
    tables: [
      {
        title: 'The same level as kits count it',
        columns: nitrogenForms.slice(0, 3).map((form) => ({ title: `as ${form}`, unit: 'mg/L' })),
        rows: [nitrogenForms.slice(0, 3).map((form) => fromNitrogen(reached.value, form))],
      },
    ],
    working: [
      step('nitrogen wanted', milligrams, 'mg N', 'volume × (target − now)'),
      ...amount.steps,
      stepBy('ammonium-CW95', 'share of un-ionised ammonia', freeAmmoniaFraction(water), ''),
    ],
    warnings: [
      'For empty tanks only: never dose ammonia where animals live.',
      ...(target.value > MOST_AMMONIA
        ? [
            `${target.value.toFixed(1)} mg/L as N is more than is useful: 1–2 is enough, ${MOST_AMMONIA} the most.`,
          ]
        : []),
      ...(litres.sd === 0
        ? ['The volume was given without an error; the level reached is as uncertain as the volume.']
        : []),
      ...amount.warnings,
      'Mix it through for half an hour to an hour, then read: a reading 25 % off says something of volume or strength.',
    ],
    outside: rangeOf('ammonium-CW95', water),
    cautions: cautionsOf(source),
    entries: [amount.entry],
  });
}

/** What to weigh or measure out, and the entry that records it. */
type Amount = { figures: Figure[]; steps: Step[]; warnings: string[]; entry: Draft };

function amountOf(source: AmmoniaSource, milligrams: Measured, perGram: number): Amount {
  if (source.kind === 'salt') {
    const grams = propagate(({ m, p }) => m / (perGram * p), { m: milligrams, p: source.purity });
    return {
      figures: [figure('grams', `${source.formula} to weigh`, grams, 'g')],
      steps: [step(`nitrogen in ${source.formula}`, perGram, 'mg N/g', 'molar masses', 'IUPAC05')],
      warnings:
        grams.value < 1
          ? ['Under a gram is hard to weigh: make a stock solution and measure millilitres.']
          : [],
      entry: {
        kind: 'dose',
        body: { substance: substanceOf(source.formula), nitrogenMg: round(milligrams.value) },
      },
    };
  }
  const millilitres = propagate(({ m, s }) => m / s, { m: milligrams, s: source.mgNPerMl });
  const drops = propagate(({ m, d }) => m * d, { m: millilitres, d: DROPS_PER_ML });
  return {
    figures: [
      figure('millilitres', 'Solution to measure out', millilitres, 'mL'),
      ...(millilitres.value < 10 ? [figure('drops', 'About, in drops', drops, 'drops')] : []),
    ],
    steps: [step('strength', source.mgNPerMl, 'mg N/mL', 'from the label or recipe')],
    warnings: ['Drops differ by a third from dropper to dropper: a syringe is better.'],
    entry: {
      kind: 'dose',
      body: {
        substance: substanceOf(source.formula),
        millilitres: round(millilitres.value),
        strength: { mgNPerMl: round(source.mgNPerMl.value) },
      },
    },
  };
}

/** The journal tells sources apart by what matters to the water: whether alkalinity comes with the nitrogen. */
const substanceOf = (formula: string): 'ammonium-chloride' | 'ammonia-solution' =>
  alkalinityPerMgN(formula) === 0 ? 'ammonium-chloride' : 'ammonia-solution';

const round = (value: number): number => Math.round(value * 1000) / 1000;

/** A stock solution of which one millilitre raises a given volume by a given step. */
export function ammoniaStock(stock: {
  formula: string;
  purity: Measured;
  stockMl: Measured;
  raises: Measured;
  inLitres: Measured;
}): Worked {
  const { formula, purity, stockMl, raises, inLitres } = stock;
  const perGram = nitrogenYield('formula', formula);
  const strength = propagate(({ r, v }) => r * v, { r: raises, v: inLitres });
  const grams = propagate(({ s, ml, p }) => (s * ml) / (perGram * p), {
    s: strength,
    ml: stockMl,
    p: purity,
  });
  const gramsPerLitre = (1000 * grams.value) / stockMl.value;
  return worked({
    results: [
      figure('grams', `${formula} to weigh`, grams, 'g'),
      figure('strength', 'Strength of the stock', strength, 'mg N/mL'),
    ],
    working: [
      step('strength', strength, 'mg N/mL', 'step × volume, in one millilitre'),
      step(`nitrogen in ${formula}`, perGram, 'mg N/g', 'molar masses', 'IUPAC05'),
    ],
    warnings: [
      `Dissolve in less water than the final volume, then fill up to ${stockMl.value} mL; label it with substance, strength and date.`,
      ...(gramsPerLitre > 250 ? ['This is near what dissolves in cold water: make a weaker stock.'] : []),
    ],
    cautions: ['CAU-A2', 'CAU-A3'],
  });
}

/** What the difference between the expected and the measured rise says of volume, strength or kit. */
export function doseCheck(check: {
  nitrogenMg: Measured;
  litres: Measured;
  before: Measured;
  after: Measured;
}): Worked {
  const { nitrogenMg, litres, before, after } = check;
  const expected = propagate(({ m, v }) => m / v, { m: nitrogenMg, v: litres });
  const measured = propagate(({ a, b }) => a - b, { a: after, b: before });
  const ratio = propagate(({ m, v, a, b }) => ((a - b) * v) / m, {
    m: nitrogenMg,
    v: litres,
    a: after,
    b: before,
  });
  const off = Math.abs(ratio.value - 1);
  const telling = off > 2 * ratio.sd;
  const volume =
    measured.value > 0
      ? propagate(({ m, a, b }) => m / (a - b), { m: nitrogenMg, a: after, b: before })
      : undefined;
  const said = !telling
    ? 'The difference is within the error of kit and volume: nothing needs to be changed.'
    : ratio.value > 1
      ? 'The water rose by more than expected: less water than thought, a stronger source, or a kit that counts another ion.'
      : 'The water rose by less than expected: more water than thought, a weaker source, loss to air or bacteria, or a kit that counts another ion.';
  return worked({
    results: [
      figure('expected', 'Rise expected', expected, 'mg/L as N'),
      figure('measured', 'Rise measured', measured, 'mg/L as N'),
      figure('ratio', 'Measured over expected', ratio, ''),
      ...(volume ? [figure('volume', 'Volume, if dose and kit are right', volume, 'L')] : []),
    ],
    working: [
      step('expected rise', expected, 'mg/L as N', 'nitrogen ÷ volume'),
      step('measured rise', measured, 'mg/L as N', 'after − before'),
      step(
        'if the kit counts NH4 but was taken as N',
        measured.value / fromNitrogen(1, 'NH4'),
        'mg/L as N',
        'molar masses',
        'IUPAC05',
      ),
      step(
        'if the kit counts NH3 but was taken as N',
        measured.value / fromNitrogen(1, 'NH3'),
        'mg/L as N',
        'molar masses',
        'IUPAC05',
      ),
      step('molar mass of nitrogen', atomicWeights.N!, 'g/mol', 'atomic weights', 'IUPAC05'),
    ],
    warnings: [
      said,
      ...(ratio.value < 0.75 || ratio.value > 1.33
        ? [
            'Outside 0.75–1.33: correct the volume or the strength before the next dose, after a second reading.',
          ]
        : []),
    ],
    entries:
      volume && telling
        ? [{ kind: 'tank', body: { litres: { value: round(volume.value), sd: round(volume.sd) } } }]
        : [],
  });
}
