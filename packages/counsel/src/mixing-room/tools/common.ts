import type { ChoiceField, QuantityField, TextField } from '../fields.ts';

/** Fields that many tools ask for, worded once. */
export const litres = {
  kind: 'volume',
  title: 'Water in the system',
  help: 'net, without rock and sand; with its error, such as 200 ± 10 L or 55 US gal',
  low: 0.01,
  high: 1e6,
} as const satisfies QuantityField;

export const temperature = {
  kind: 'temperature',
  title: 'Temperature',
  help: 'of the water, °C or °F',
  preset: '25 C',
  low: 0,
  high: 45,
} as const satisfies QuantityField;

export const salinity = {
  kind: 'salinity',
  title: 'Salinity',
  help: 'practical salinity (ppt), or 1.0264 at 25/25, or 53 mS/cm at 25 C',
  preset: '35',
  low: 0,
  high: 45,
} as const satisfies QuantityField;

export const hydration = {
  kind: 'number',
  title: 'Your salt mix',
  help: 'grams of mix per gram of dry sea salt, from the tool that calibrates it; 1.08 ± 0.05 is taken where empty',
  optional: true,
  low: 0.9,
  high: 2,
} as const satisfies QuantityField;

export const purity = {
  kind: 'fraction',
  title: 'Purity',
  help: 'mass share of the named formula, such as 99 % or 0.99',
  preset: '1',
  low: 0.01,
  high: 1,
} as const satisfies QuantityField;

export const pH = {
  kind: 'pH',
  title: 'pH',
  help: 'as a probe or kit set with NBS buffers reads it',
  low: 5,
  high: 11,
} as const satisfies QuantityField;

export const roomCO2 = {
  kind: 'ppm',
  title: 'CO2 of the room',
  help: 'ppm; about 420 outdoors, 600–2000 in occupied closed rooms; a guess of 714 where no meter says better',
  preset: '714 ± 200',
  low: 100,
  high: 20000,
} as const satisfies QuantityField;

export const nitrogen = {
  kind: 'nitrogen',
  title: 'Total ammonia',
  help: 'with what the kit counts: 2 mg/L N, 2 ppm NH4',
  low: 0,
  high: 1000,
} as const satisfies QuantityField;

export const alkalinity = {
  kind: 'alkalinity',
  title: 'Alkalinity',
  help: 'meq/L, dKH or mg/L CaCO3',
  low: 0,
  high: 50,
} as const satisfies QuantityField;

export const scale = {
  kind: 'text',
  title: 'Reference temperatures of the scale',
  help: 'sample/water as printed on the instrument: 60/60F, 15/4, 20/20, 20/4, 25/25, 25/4',
} as const satisfies TextField;

export const refractometerScale = {
  kind: 'choice',
  title: 'Scale',
  help: 'what its marks were placed for',
  options: { seawater: 'marked for seawater', brine: 'marked for sodium chloride, g/kg' },
  preset: 'seawater',
} as const satisfies ChoiceField;
