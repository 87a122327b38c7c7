import type { DoseBody, Stamped } from '@brinewright/journal';
import type { CautionId } from '../cautions/cautions.ts';
import { nitrogenYield } from '../reagents/ammonia.ts';
import type { Bearings } from './bearings.ts';
import { bandOf, valuesOf } from './particles.ts';
import { figure, neat } from './words.ts';

/** A dose of ammonia in the keeper's own source, as far as the journal knows it. */
export interface AmmoniaAmount {
  readonly substance: 'ammonium-chloride' | 'ammonia-solution';
  readonly nitrogenMg: number | null;
  readonly nitrogenMgPerLitre: number;
  readonly millilitres?: number;
  readonly grams?: number;
  /** "4.2 mL of your ammonia solution (210 mg of nitrogen)". */
  readonly words: string;
  /** Where the amount in millilitres or grams comes from, and how sure that is. */
  readonly note: string | undefined;
  readonly cautions: readonly CautionId[];
}

const isAmmonia = ({ substance }: DoseBody): boolean =>
  substance === 'ammonium-chloride' || substance === 'ammonia-solution';

/** The dose that raises total ammonia by so many mg N/L. */
export function ammoniaAmount(bearings: Bearings, mgNPerLitre: number): AmmoniaAmount {
  const last = bearings.facts.doses.findLast(isAmmonia);
  const substance = last?.substance === 'ammonia-solution' ? 'ammonia-solution' : 'ammonium-chloride';
  const cautions: CautionId[] =
    substance === 'ammonia-solution' ? ['CAU-A1', 'CAU-A2'] : ['CAU-A2', 'CAU-A3'];
  const nitrogenMgPerLitre = neat(mgNPerLitre);
  if (!bearings.litres)
    return {
      substance,
      nitrogenMg: null,
      nitrogenMgPerLitre,
      words: `${figure(nitrogenMgPerLitre)} mg of nitrogen for each litre of water`,
      note: 'the litres of this tank are not written down: write them down and the amount follows',
      cautions,
    };
  const nitrogenMg = neat(mgNPerLitre * bearings.litres.value);
  const measured = measureOf(bearings, last, nitrogenMg);
  return { substance, nitrogenMg, nitrogenMgPerLitre, ...measured, cautions };
}

type Measure = Pick<AmmoniaAmount, 'millilitres' | 'grams' | 'words' | 'note'>;

function measureOf(bearings: Bearings, last: Stamped<DoseBody> | undefined, nitrogenMg: number): Measure {
  const inNitrogen = `${figure(nitrogenMg)} mg of nitrogen`;
  const strength = last?.strength?.mgNPerMl;
  if (strength !== undefined) {
    const millilitres = neat(nitrogenMg / strength);
    const words = `${figure(millilitres)} mL of your solution (${inNitrogen})`;
    return { millilitres, words, note: `your solution holds ${figure(strength)} mg of nitrogen in a mL` };
  }
  if (last?.millilitres !== undefined) return inferredMillilitres(bearings, last, nitrogenMg);
  if (last?.substance === 'ammonia-solution')
    return {
      words: `${inNitrogen} of your ammonia solution`,
      note: 'the strength of the solution is not written down: take it from the label, write it with the dose, and millilitres follow',
    };
  const grams = neat(nitrogenMg / nitrogenYield('formula', 'NH4Cl'));
  const words = `${figure(grams)} g of ammonium chloride (${inNitrogen})`;
  return { grams, words, note: 'dry ammonium chloride holds 262 mg of nitrogen in a gram' };
}

/** Millilitres of a source whose strength the readings have told. */
function inferredMillilitres(bearings: Bearings, last: Stamped<DoseBody>, nitrogenMg: number): Measure {
  const { reckoning, facts, litres } = bearings;
  const perMl = valuesOf(reckoning.posterior, `source:mL of ${last.substance}`);
  if (!perMl || !facts.litres || !litres)
    return { words: `${figure(nitrogenMg)} mg of nitrogen`, note: undefined };
  const strength = bandOf(perMl.map((mgNL) => mgNL * facts.litres!.value));
  const millilitres = neat(nitrogenMg / strength.p50);
  return {
    millilitres,
    words: `${figure(millilitres)} mL of your solution (about ${figure(nitrogenMg)} mg of nitrogen)`,
    note: `from the readings your solution holds about ${figure(strength.p50)} mg of nitrogen in a mL (${figure(strength.p05)}–${figure(strength.p95)})`,
  };
}

/** The amounts alone, as an order carries them. */
export const amountsOf = ({ nitrogenMg, nitrogenMgPerLitre, millilitres, grams }: AmmoniaAmount) => ({
  nitrogenMg,
  nitrogenMgPerLitre,
  ...(millilitres === undefined ? {} : { millilitres }),
  ...(grams === undefined ? {} : { grams }),
});
