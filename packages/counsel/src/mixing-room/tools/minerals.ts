import { raiseAlkalinity } from '../../buffering/alkalinity.ts';
import { raiseMineral } from '../../buffering/minerals.ts';
import type { QuantityField } from '../fields.ts';
import { defineTool, type Tool } from '../tool.ts';
import { alkalinity, litres, pH, purity, roomCO2, salinity, temperature } from './common.ts';

const level = (title: string) =>
  ({
    kind: 'massConcentration',
    title,
    help: 'mg/L (ppm)',
    low: 0,
    high: 10000,
  }) as const satisfies QuantityField;

const buffer = defineTool({
  id: 'raise-alkalinity',
  shelf: 'minerals',
  title: 'Raise alkalinity',
  purpose: 'Grams a day of bicarbonate, carbonate or hydroxide, and what pH does then and later.',
  fields: {
    litres,
    now: { ...alkalinity, title: 'Alkalinity now' },
    target: { ...alkalinity, title: 'Alkalinity wanted' },
    buffer: {
      kind: 'choice',
      title: 'From',
      help: 'bicarbonate lowers pH a little at first, carbonate lifts it, hydroxide most',
      options: {
        bicarbonate: 'sodium bicarbonate, NaHCO3',
        carbonate: 'sodium carbonate, Na2CO3',
        hydroxide: 'calcium hydroxide, Ca(OH)2',
      },
      preset: 'bicarbonate',
    },
    purity,
    salinity,
    temperature,
    ph: { ...pH, optional: true },
    roomCo2: roomCO2,
    calcium: { ...level('Calcium now'), optional: true },
  },
  compute: ({ temperature, ph, roomCo2, ...rise }) =>
    raiseAlkalinity({ ...rise, temperatureC: temperature, pH: ph, roomCO2: roomCo2 }),
});

const calcium = defineTool({
  id: 'raise-calcium',
  shelf: 'minerals',
  title: 'Raise calcium',
  purpose: 'Grams a day of a calcium salt.',
  fields: {
    litres,
    now: level('Calcium now'),
    target: level('Calcium wanted'),
    formula: { kind: 'text', title: 'Formula', help: 'of the salt on the label', preset: 'CaCl2·2H2O' },
    purity,
  },
  compute: (rise) => raiseMineral({ mineral: 'calcium', ...rise }),
});

const magnesium = defineTool({
  id: 'raise-magnesium',
  shelf: 'minerals',
  title: 'Raise magnesium',
  purpose: 'Grams a day of a magnesium salt.',
  fields: {
    litres,
    now: level('Magnesium now'),
    target: level('Magnesium wanted'),
    formula: { kind: 'text', title: 'Formula', help: 'of the salt on the label', preset: 'MgCl2·6H2O' },
    purity,
  },
  compute: (rise) => raiseMineral({ mineral: 'magnesium', ...rise }),
});

export const mineralTools: readonly Tool[] = [buffer, calcium, magnesium];
