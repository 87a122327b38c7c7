import {
  hydrationPrior,
  type Measured,
  massFromSaltRise,
  propagate,
  waterLitres,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, type Step, step, stepBy, type Worked, worked } from '../worked.ts';
import { round } from './net-volume.ts';

/** A dose of something that stays in the water, and what a kit read before and after it was mixed in. */
export type TracerDose = {
  /** What was put in, mg of what the kit counts. */
  milligrams: Measured;
  /** mg/L of the same. */
  before: Measured;
  after: Measured;
};

const tooSmall = (field: string): InputFault =>
  new InputFault(
    field,
    'the reading did not rise by more than its own error',
    'Dose more, or read with a finer kit; repeat both readings and give their mean.',
  );

const noteVolume = (litres: Measured) =>
  ({
    kind: 'tank',
    body: { litres: { value: round(litres.value), sd: round(litres.sd) } },
  }) as const;

const errorBy = (shares: Readonly<Record<string, number>>, names: Readonly<Record<string, string>>): Step[] =>
  Object.entries(names).map(([name, title]) =>
    step(`error from ${title}`, shares[name] ?? 0, 'L', 'first-order propagation', 'JCGM100'),
  );

/** Litres from a dose and the rise it made: V = mass/Δ. */
export function volumeFromDose({ milligrams, before, after }: TracerDose): Worked {
  const rise = propagate(({ a, b }) => a - b, { a: after, b: before });
  if (rise.value <= 0 || rise.value < rise.sd) throw tooSmall('after');
  const litres = propagate(({ m, a, b }) => m / (a - b), { m: milligrams, a: after, b: before });
  return worked({
    results: [figure('litres', 'Water the dose was mixed into', litres, 'L')],
    working: [
      step('dose', milligrams, 'mg', 'as given'),
      step('rise', rise, 'mg/L', 'after − before'),
      step('volume', litres, 'L', 'dose ÷ rise'),
      ...errorBy(litres.shares, { m: 'the dose', a: 'the reading after', b: 'the reading before' }),
    ],
    warnings: [
      ...(litres.sd > 0.15 * litres.value
        ? ['The error is above 15 %: a larger rise, or the mean of several readings, would narrow it.']
        : []),
      ...(rise.sd === 0 ? ['The readings were given without an error: write one, such as 2.0 ± 0.2.'] : []),
      'The dose must be mixed through and not yet consumed: read within an hour or two.',
    ],
    entries: [noteVolume(litres)],
  });
}

/** Salt weighed into a running system and the salinity before and after. */
export type SaltRise = {
  grams: Measured;
  before: Measured;
  after: Measured;
  temperatureC: Measured;
  hydration?: Measured | undefined;
};

/** Litres from a known mass of salt mix and the rise in salinity it made. */
export function volumeFromSalt({ grams, before, after, temperatureC, hydration }: SaltRise): Worked {
  const h = hydration ?? hydrationPrior;
  const rise = propagate(({ a, b }) => a - b, { a: after, b: before });
  if (rise.value <= 0 || rise.value < rise.sd) throw tooSmall('after');
  const litres = propagate(({ g, b, a, t, hyd }) => waterLitres(massFromSaltRise(g, b, a, hyd), b, t), {
    g: grams,
    b: before,
    a: after,
    t: temperatureC,
    hyd: h,
  });
  return worked({
    results: [figure('litres', 'Water the salt was dissolved in', litres, 'L')],
    working: [
      step(
        'salt mix per gram of dry sea salt',
        h,
        '',
        hydration ? 'as given' : 'assumed',
        hydration ? 'as given' : 'our judgement',
      ),
      stepBy('reference-salinity', 'rise in salinity', rise, ''),
      stepBy('density', 'volume', litres, 'L'),
      ...errorBy(litres.shares, {
        g: 'the scale',
        a: 'the salinity after',
        b: 'the salinity before',
        hyd: 'the salt mix',
      }),
    ],
    warnings: [
      ...(rise.sd === 0
        ? ['The salinities were given without an error: write one, such as 33.2 ± 0.2.']
        : []),
      'Use one instrument for both readings: what it is off by then cancels.',
    ],
    entries: [noteVolume(litres)],
  });
}
