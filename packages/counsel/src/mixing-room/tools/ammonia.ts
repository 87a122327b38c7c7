import { ammoniaDose, ammoniaStock, doseCheck } from '../../reagents/ammonia.ts';
import { countedAs } from '../../reagents/ions.ts';
import type { TextField } from '../fields.ts';
import { defineTool, type Tool } from '../tool.ts';
import { litres, nitrogen, pH, purity, salinity, temperature } from './common.ts';

const formula = {
  kind: 'text',
  title: 'Formula',
  help: 'of the dry salt: NH4Cl, (NH4)2SO4',
  preset: 'NH4Cl',
} as const satisfies TextField;

const levels = {
  litres,
  now: { ...nitrogen, title: 'Total ammonia now', preset: '0 mg/L N' },
  target: { ...nitrogen, title: 'Total ammonia wanted', preset: '2 mg/L N' },
  ph: { ...pH, preset: '8.2 ± 0.1' },
  salinity,
  temperature,
} as const;

const salt = defineTool({
  id: 'ammonia-from-salt',
  shelf: 'ammonia',
  title: 'Dose ammonia from a dry salt',
  purpose: 'Grams of a salt for a level of total ammonia, with what it is un-ionised.',
  fields: { ...levels, formula, purity },
  compute: ({ formula: name, purity: share, temperature: temperatureC, ph, ...dose }) =>
    ammoniaDose({ ...dose, temperatureC, pH: ph, source: { kind: 'salt', formula: name, purity: share } }),
});

const bottle = defineTool({
  id: 'ammonia-from-bottle',
  shelf: 'ammonia',
  title: 'Dose ammonia from a bottle',
  purpose: 'Millilitres or drops for a level of total ammonia, from the strength on the label.',
  fields: {
    ...levels,
    strength: {
      kind: 'strength',
      title: 'Strength',
      help: 'on the label or of your stock: 10 % NH3 (grams in 100 mL), 30 g/L NH4Cl, 5 mg/mL N',
      low: 0.0001,
      high: 1000,
    },
    dissolved: {
      kind: 'choice',
      title: 'What is dissolved',
      help: 'decides whether it brings alkalinity',
      options: { NH3: 'ammonia itself', NH4Cl: 'ammonium chloride' },
      preset: 'NH4Cl',
    },
  },
  compute: ({ strength, dissolved, temperature: temperatureC, ph, ...dose }) =>
    ammoniaDose({
      ...dose,
      temperatureC,
      pH: ph,
      source: { kind: 'solution', mgNPerMl: strength, formula: dissolved },
    }),
});

const stock = defineTool({
  id: 'ammonia-stock',
  shelf: 'ammonia',
  title: 'Make an ammonia stock solution',
  purpose: 'Grams for a bottle of which one millilitre raises a given volume by a given step.',
  fields: {
    formula,
    purity,
    bottle: {
      kind: 'volume',
      title: 'Bottle',
      help: 'final volume of the stock',
      preset: '500 mL',
      low: 0.01,
      high: 100,
    },
    raises: {
      ...nitrogen,
      title: 'One millilitre raises',
      help: 'by this step: 1 mg/L N',
      preset: '1 mg/L N',
    },
    in: { ...litres, title: 'This much water', preset: '10 L' },
  },
  compute: (given) =>
    ammoniaStock({
      formula: given.formula,
      purity: given.purity,
      stockMl: { value: 1000 * given.bottle.value, sd: 1000 * given.bottle.sd },
      raises: given.raises,
      inLitres: given.in,
    }),
});

const check = defineTool({
  id: 'dose-check',
  shelf: 'ammonia',
  title: 'Why the reading after a dose is not what was expected',
  purpose: 'Whether the difference means anything, and what it says of the volume.',
  fields: {
    dose: {
      kind: 'nitrogenMass',
      title: 'Dose',
      help: 'nitrogen put in: 400 mg N, or 1.53 g NH4Cl',
      low: 0.001,
      high: 1e9,
    },
    litres,
    before: { ...nitrogen, title: 'Reading before', help: 'with its error: 0 ± 0.1 mg/L N' },
    after: { ...nitrogen, title: 'Reading after', help: 'with its error: 1.5 ± 0.25 mg/L N' },
  },
  compute: (given) =>
    doseCheck({ nitrogenMg: given.dose, litres: given.litres, before: given.before, after: given.after }),
});

const ions = defineTool({
  id: 'nitrogen-ions',
  shelf: 'ammonia',
  title: 'One nitrogen number as every kit counts it',
  purpose: 'Between N, NH3, NH4, NO2 and NO3.',
  fields: { amount: { ...nitrogen, title: 'Number' } },
  compute: (given) => countedAs(given.amount),
});

export const ammoniaTools: readonly Tool[] = [salt, bottle, stock, check, ions];
