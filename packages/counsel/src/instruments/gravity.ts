import {
  glassHydrometer,
  hydrometerReading,
  type Measured,
  PLASTIC_EXPANSION,
  propagate,
  type ReferencePair,
  rangeOf,
  referencePairs,
  salinityFromHydrometer,
  specificGravity,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, stepBy, type Worked, worked } from '../worked.ts';

/** Half a division of a common hydrometer, the error of reading it, where none is given. */
export const HYDROMETER_ERROR = 0.0005;

/** Standard error, in salinity, of swing-arm plastic instruments. Our judgement. */
export const SWING_ARM_ERROR = 1.5;

/** What a float is made of, which decides how it grows with warmth. */
export type FloatBody = 'glass' | 'plastic' | 'swing-arm';

/** The salinity behind a hydrometer's reading at the temperature of the water. */
export function readHydrometer(reading: {
  specificGravity: Measured;
  scale: ReferencePair;
  temperatureC: Measured;
  body: FloatBody;
  calibratedAtC?: Measured | undefined;
}): Worked {
  const { scale, temperatureC, body, calibratedAtC } = reading;
  const sg = { ...reading.specificGravity, sd: reading.specificGravity.sd || HYDROMETER_ERROR };
  const instrument = {
    ...glassHydrometer(scale),
    ...(body === 'glass' ? {} : { expansionPerC: PLASTIC_EXPANSION }),
    ...(calibratedAtC ? { calibratedAtC: calibratedAtC.value } : {}),
  };
  const inputs = { r: sg, t: temperatureC };
  const corrected = propagate(({ r, t }) => salinityFromHydrometer(r, t, instrument), inputs);
  if (!Number.isFinite(corrected.value))
    throw new InputFault(
      'reading',
      'no salinity from 0 to 60 floats it there',
      'Check the reading and its scale.',
    );
  const bare = salinityFromHydrometer(sg.value, temperatureC.value, { ...instrument, expansionPerC: 0 });
  const asPrinted = salinityFromHydrometer(sg.value, scale.sampleC, glassHydrometer(scale));
  const salinity =
    body === 'swing-arm'
      ? { value: corrected.value, sd: Math.hypot(corrected.sd, SWING_ARM_ERROR) }
      : corrected;
  return worked({
    results: [
      figure('salinity', 'Salinity', salinity, ''),
      figure('naive', 'If the temperature were ignored', asPrinted, ''),
    ],
    working: [
      step('reading', sg, 'SG', 'as read'),
      stepBy('density', 'salinity from the density alone', bare, ''),
      stepBy('hydrometer', 'salinity with the growth of the float', corrected, ''),
      step(
        'growth of the float',
        1e6 * instrument.expansionPerC,
        '10⁻⁶/°C',
        body,
        body === 'glass' ? 'ISO1768' : 'our judgement',
      ),
    ],
    warnings: [
      'Read at the level surface, not at the top of the rim of water; wipe off bubbles and salt crust.',
      ...(body === 'swing-arm'
        ? [
            'Swing-arm instruments follow a law of their own: compare one reading with a standard and keep the difference.',
          ]
        : []),
      ...(body === 'plastic' ? ['Plastics differ: compare one reading with a standard to be sure.'] : []),
    ],
    outside: rangeOf('hydrometer', { salinity: corrected.value, temperatureC: temperatureC.value }),
    entries: [
      { kind: 'reading', body: { analyte: 'salinity', value: Math.round(corrected.value * 100) / 100 } },
    ],
  });
}

/** What one water reads on every scale of specific gravity, at its scale's temperature and in the water as it is. */
export function gravityScales(water: { salinity: Measured; temperatureC: Measured }): Worked {
  const { salinity, temperatureC } = water;
  const on = (pair: ReferencePair): Measured =>
    propagate(({ s }) => specificGravity(s, pair), { s: salinity });
  const afloat = (pair: ReferencePair): number =>
    hydrometerReading(salinity.value, temperatureC.value, glassHydrometer(pair));
  const pairs = Object.entries(referencePairs) as [string, ReferencePair][];
  return worked({
    results: pairs.map(([name, pair]) => figure(name, `Specific gravity ${name}`, on(pair), 'SG', 6)),
    tables: [
      {
        title: `A glass hydrometer of each scale, in this water at ${temperatureC.value} °C`,
        columns: [
          { title: 'Sample', unit: '°C' },
          { title: 'Water', unit: '°C' },
          { title: 'At its own temperature', unit: 'SG', digits: 6 },
          { title: 'Shows now', unit: 'SG', digits: 6 },
        ],
        rows: pairs.map(([, pair]) => [pair.sampleC, pair.waterC, on(pair).value, afloat(pair)]),
      },
    ],
    working: [
      stepBy(
        'specific-gravity',
        'density of the sample over density of pure water',
        on(referencePairs['25/25']),
        '',
      ),
    ],
    warnings: ['A specific gravity without its two temperatures is ambiguous by up to 3 units of salinity.'],
    outside: rangeOf('density', { salinity: salinity.value, temperatureC: temperatureC.value }),
  });
}
