import { meqLFromCaCO3, meqLFromDKH } from '@brinewright/seawater';

/** What a number measures. Each kind has one canonical unit, used everywhere inside. */
export type QuantityKind =
  | 'volume'
  | 'length'
  | 'mass'
  | 'temperature'
  | 'salinity'
  | 'alkalinity'
  | 'nitrogen'
  | 'nitrogenMass'
  | 'phosphorus'
  | 'massConcentration'
  | 'strength'
  | 'density'
  | 'conductivity'
  | 'flow'
  | 'specificGravity'
  | 'pH'
  | 'fraction'
  | 'ppm'
  | 'number';

/** Canonical unit of each kind as it is written after a number. */
export const canonicalUnit: Readonly<Record<QuantityKind, string>> = {
  volume: 'L',
  length: 'cm',
  mass: 'g',
  temperature: '°C',
  salinity: '',
  alkalinity: 'meq/L',
  nitrogen: 'mg/L as N',
  nitrogenMass: 'mg N',
  phosphorus: 'mg/L as P',
  massConcentration: 'mg/L',
  strength: 'mg N/mL',
  density: 'g/mL',
  conductivity: 'mS/cm',
  flow: 'L/h',
  specificGravity: '',
  pH: '',
  fraction: '',
  ppm: 'ppm',
  number: '',
};

/** Litres in a US and in an imperial gallon [NIST811]. */
export const LITRES_PER_US_GALLON = 3.785411784;
export const LITRES_PER_UK_GALLON = 4.54609;

/** Grams in an avoirdupois ounce [NIST811]. */
const GRAMS_PER_OUNCE = 28.349523125;

/** Factors from each spelling of a unit to the canonical unit of its kind; spellings are matched in lower case. */
export const factors: Readonly<Partial<Record<QuantityKind, Readonly<Record<string, number>>>>> = {
  volume: {
    l: 1,
    litre: 1,
    litres: 1,
    ml: 1e-3,
    m3: 1000,
    'm³': 1000,
    'us gal': LITRES_PER_US_GALLON,
    usgal: LITRES_PER_US_GALLON,
    'uk gal': LITRES_PER_UK_GALLON,
    ukgal: LITRES_PER_UK_GALLON,
  },
  length: { cm: 1, mm: 0.1, m: 100, in: 2.54, inch: 2.54, inches: 2.54, ft: 30.48 },
  mass: { g: 1, kg: 1000, mg: 1e-3, oz: GRAMS_PER_OUNCE, lb: 16 * GRAMS_PER_OUNCE },
  alkalinity: {
    'meq/l': 1,
    dkh: meqLFromDKH(1),
    'mg/l caco3': meqLFromCaCO3(1),
    'ppm caco3': meqLFromCaCO3(1),
  },
  massConcentration: { 'mg/l': 1, ppm: 1, 'ug/l': 1e-3, 'µg/l': 1e-3, 'g/l': 1000 },
  density: { 'g/ml': 1, 'kg/l': 1, 'kg/m3': 1e-3, 'kg/m³': 1e-3 },
  conductivity: { 'ms/cm': 1, 'us/cm': 1e-3, 'µs/cm': 1e-3, 's/m': 10 },
  flow: {
    'l/h': 1,
    'ml/min': 0.06,
    'l/min': 60,
    'l/d': 1 / 24,
    'us gal/h': LITRES_PER_US_GALLON,
    'uk gal/h': LITRES_PER_UK_GALLON,
  },
  specificGravity: { sg: 1 },
  fraction: { '%': 0.01 },
  ppm: { ppm: 1 },
  pH: {},
  number: {},
};
