import {
  COMPENSATION_REFERENCE_C,
  conductivityFromSalinity,
  type Measured,
  propagate,
  rangeOf,
  salinityFromConductivity,
  uncompensatedConductivity,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, stepBy, type Worked, worked } from '../worked.ts';

/** How a meter treats temperature. */
export type Compensation = 'none' | 'seawater' | 'fixed';

/** Relative error of a hobby probe that was lately calibrated. Our judgement. */
export const PROBE_RELATIVE_ERROR = 0.01;

/** The salinity behind a conductivity, however the meter compensates. */
export function readConductivity(reading: {
  mSCm: Measured;
  temperatureC: Measured;
  compensation: Compensation;
  /** Share per °C of a meter with a fixed compensation. */
  sharePerDegree: Measured;
}): Worked {
  const { temperatureC, compensation, sharePerDegree } = reading;
  const shown = { ...reading.mSCm, sd: reading.mSCm.sd || PROBE_RELATIVE_ERROR * reading.mSCm.value };
  const salinityOf = (r: number, t: number, share: number): number => {
    if (compensation === 'seawater') return salinityFromConductivity(r, COMPENSATION_REFERENCE_C);
    if (compensation === 'none') return salinityFromConductivity(r, t);
    return salinityFromConductivity(uncompensatedConductivity(r, t, share), t);
  };
  const salinity = propagate(({ r, t, share }) => salinityOf(r, t, share), {
    r: shown,
    t: temperatureC,
    share: sharePerDegree,
  });
  if (!Number.isFinite(salinity.value))
    throw new InputFault(
      'reading',
      'no salinity conducts like this',
      'Check the number and its unit: mS/cm.',
    );
  const naive = salinityFromConductivity(shown.value, COMPENSATION_REFERENCE_C);
  return worked({
    results: [
      figure('salinity', 'Salinity', salinity, ''),
      figure('naive', 'If the reading were simply taken "at 25 °C"', naive, ''),
      figure(
        'conductivity',
        'Conductivity of this water as it is',
        conductivityFromSalinity(salinity.value, temperatureC.value),
        'mS/cm',
      ),
    ],
    working: [
      step(
        'reading',
        shown,
        'mS/cm',
        compensation === 'none' ? 'uncompensated' : 'referred to 25 °C by the meter',
      ),
      stepBy(salinity.value < 2 ? 'practical-salinity-low' : 'practical-salinity', 'salinity', salinity, ''),
    ],
    warnings:
      compensation === 'fixed' && Math.abs(temperatureC.value - COMPENSATION_REFERENCE_C) > 1
        ? [
            'A fixed percentage per degree is not how seawater behaves: calibrate near tank temperature, or switch compensation off.',
          ]
        : [],
    outside: rangeOf(salinity.value < 2 ? 'practical-salinity-low' : 'practical-salinity', {
      salinity: salinity.value,
      temperatureC: temperatureC.value,
    }),
    entries: [
      { kind: 'reading', body: { analyte: 'salinity', value: Math.round(salinity.value * 100) / 100 } },
    ],
  });
}
