import {
  fromNitrogen,
  type Measured,
  nitrogenForms,
  nitrogenMolarMass,
  umolLFromMgL,
} from '@brinewright/seawater';
import { figure, step, type Worked, worked } from '../worked.ts';

/** One amount of nitrogen in water, as every kit would count it. */
export function countedAs(nitrogen: Measured): Worked {
  return worked({
    results: [
      ...nitrogenForms.map((form) =>
        figure(
          form,
          `Counted as ${form}`,
          { value: fromNitrogen(nitrogen.value, form), sd: fromNitrogen(nitrogen.sd, form) },
          'mg/L',
        ),
      ),
      figure('umol', 'In moles', umolLFromMgL(nitrogen.value, nitrogenMolarMass.N), 'µmol/L'),
    ],
    working: nitrogenForms.map((form) =>
      step(`molar mass of ${form}`, nitrogenMolarMass[form], 'g/mol', 'atomic weights', 'IUPAC05'),
    ),
    warnings: ['What a kit counts is a property of the kit: ask its sheet once and keep the answer.'],
  });
}
