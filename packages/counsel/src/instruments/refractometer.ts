import {
  type Measured,
  propagate,
  type RefractometerScale,
  rangeOf,
  refractometerGain,
  salinityFromRefractometer,
  setRefractometer,
  uncompensatedRefractometerSalinity,
} from '@brinewright/seawater';
import { figure, step, stepBy, type Worked, worked } from '../worked.ts';

/** Half a division, in salinity, of a common refractometer. */
export const REFRACTOMETER_ERROR = 0.5;

/** What is left of the temperature by the compensation of such an instrument, in salinity. Our judgement. */
export const COMPENSATION_RESIDUE = 0.5;

/** What the instrument was last set with. */
export type SetWith = 'fresh-water' | 'standard';

/** The salinity behind a refractometer's reading, given its scale and what it was set with. */
export function readRefractometer(reading: {
  shown: Measured;
  scale: RefractometerScale;
  setWith: SetWith;
  /** Salinity of the standard, and what the instrument was made to show in it. */
  standard: Measured;
  standardShown: Measured;
  compensated: boolean;
  temperatureC: Measured;
}): Worked {
  const { scale, setWith, standard, standardShown, compensated, temperatureC } = reading;
  const shown = { ...reading.shown, sd: reading.shown.sd || REFRACTOMETER_ERROR };
  const fluid = setWith === 'standard' ? standard : { value: 0, sd: 0 };
  const made = setWith === 'standard' ? standardShown : { value: 0, sd: 0 };
  const salinity = propagate(
    ({ r, f, m, residue }) => salinityFromRefractometer(r, setRefractometer(scale, f, m)) + residue,
    { r: shown, f: fluid, m: made, residue: { value: 0, sd: compensated ? COMPENSATION_RESIDUE : 0 } },
  );
  const atTwenty = salinity.value;
  const warmth = compensated
    ? 0
    : atTwenty - uncompensatedRefractometerSalinity(atTwenty, temperatureC.value);
  const result = { value: salinity.value + warmth, sd: salinity.sd };
  return worked({
    results: [
      figure('salinity', 'Salinity', result, ''),
      figure(
        'off',
        'The instrument shows too much by',
        { value: shown.value - result.value, sd: result.sd },
        '',
      ),
    ],
    working: [
      step(
        'reading per unit of salinity',
        refractometerGain(scale),
        '',
        `${scale} scale`,
        scale === 'brine' ? 'CRC57' : 'by definition',
      ),
      step(
        'set with',
        fluid,
        '',
        setWith === 'standard' ? 'a standard of this salinity' : 'pure water at zero',
        'as given',
      ),
      step('salinity at 20 °C', salinity, '', '(reading − offset)/gain'),
      ...(compensated ? [] : [stepBy('refractive-index-QF95', 'put right for the temperature', warmth, '')]),
    ],
    warnings: [
      ...(scale === 'brine' && setWith === 'fresh-water'
        ? [
            'A brine scale zeroed with pure water shows about 4 % too much in seawater: set it with a standard of salinity 35.',
          ]
        : []),
      ...(scale === 'brine' && setWith === 'standard'
        ? ['A brine scale set with a standard is right there and drifts away from it by 4 % of the distance.']
        : []),
      ...(setWith === 'fresh-water'
        ? ['A zero with pure water says nothing of the slope: check it once with a standard near 35.']
        : []),
      'The SG printed beside its salinity is a conversion of the maker; never mix it with a hydrometer’s.',
    ],
    outside: compensated
      ? []
      : rangeOf('refractive-index-QF95', { salinity: result.value, temperatureC: temperatureC.value }),
    entries: [
      { kind: 'reading', body: { analyte: 'salinity', value: Math.round(result.value * 100) / 100 } },
    ],
  });
}
