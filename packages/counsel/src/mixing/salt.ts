import {
  freshWaterToLower,
  hydrationFromBatch,
  hydrationPrior,
  type Measured,
  propagate,
  rangeOf,
  saltForVolume,
  saltToRaise,
  waterDensity,
  waterLitres,
  waterMass,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, type Step, step, stepBy, type Worked, worked } from '../worked.ts';

/** Most that salinity may rise or fall in a day with animals in the water; customary, not measured. */
export const SALINITY_STEP_PER_DAY = 1;

/** How the mass of salt product follows from its batch, as a step of the working. */
const hydrationStep = (hydration: Measured | undefined): Step =>
  hydration
    ? step('salt mix per gram of dry sea salt', hydration, '', 'your own calibrated salt', 'a measured batch')
    : step('salt mix per gram of dry sea salt', hydrationPrior, '', 'assumed for any mix', 'our judgement');

const uncalibrated = (hydration: Measured | undefined): string[] =>
  hydration
    ? []
    : [
        'The salt mix was not calibrated: measure the salinity of one batch and the error falls to that of your scale and instrument.',
      ];

/** Salt and water for a batch of finished seawater. */
export function newBatch(batch: {
  litres: Measured;
  salinity: Measured;
  temperatureC: Measured;
  hydration?: Measured | undefined;
}): Worked {
  const { litres, salinity, temperatureC, hydration } = batch;
  const inputs = { v: litres, s: salinity, t: temperatureC, h: hydration ?? hydrationPrior };
  const salt = propagate(({ v, s, t, h }) => saltForVolume(v, s, t, h), inputs);
  const water = propagate(
    ({ v, s, t, h }) => ((waterMass(v, s, t) - saltForVolume(v, s, t, h) / 1000) * 1000) / waterDensity(t),
    inputs,
  );
  return worked({
    results: [
      figure('salt', 'Salt mix to weigh', salt, 'g'),
      figure('water', 'Fresh water to measure out', water, 'L'),
    ],
    working: [
      hydrationStep(hydration),
      stepBy('reference-salinity', 'dry sea salt wanted', salt.value / inputs.h.value, 'g'),
      stepBy(
        'density',
        'mass of the finished water',
        waterMass(litres.value, salinity.value, temperatureC.value),
        'kg',
      ),
    ],
    warnings: [
      ...uncalibrated(hydration),
      'Add salt to moving water, never water to salt; heat and air it for 12 to 24 hours, then measure before use.',
    ],
    outside: rangeOf('density', { salinity: salinity.value, temperatureC: temperatureC.value }),
    entries: [
      {
        kind: 'note',
        body: {
          text: `Mixed ${salt.value.toFixed(0)} g of salt into ${water.value.toFixed(1)} L of fresh water for ${litres.value} L at salinity ${salinity.value}.`,
        },
      },
    ],
  });
}

/** What one measured batch says of the keeper's own salt. */
export function calibrateSalt(batch: {
  grams: Measured;
  waterLitres: Measured;
  temperatureC: Measured;
  salinity: Measured;
}): Worked {
  const { grams, waterLitres: water, temperatureC, salinity } = batch;
  if (salinity.value <= 0)
    throw new InputFault('salinity', 'the batch has no salt', 'Measure it once all salt has dissolved.');
  const hydration = propagate(({ g, w, t, s }) => hydrationFromBatch(g, (w * waterDensity(t)) / 1000, s), {
    g: grams,
    w: water,
    t: temperatureC,
    s: salinity,
  });
  const perLitre = propagate(({ h }) => saltForVolume(1, 35, 25, h), { h: hydration });
  const odd = hydration.value < 0.97 || hydration.value > 1.25;
  return worked({
    results: [
      figure('hydration', 'Salt mix per gram of dry sea salt', hydration, ''),
      figure('perLitre', 'Salt mix for a litre at salinity 35 and 25 °C', perLitre, 'g/L'),
    ],
    working: [
      stepBy('reference-salinity', 'dry sea salt in the batch', grams.value / hydration.value, 'g'),
      step('salt mix per gram of dry sea salt', hydration, '', '1000·M/(A·(W + M))', 'MFWM08'),
    ],
    warnings: odd
      ? [
          'Mixes lie between 1.00 (dry) and 1.18 (hydrated), more when damp: check scale, volume and instrument.',
        ]
      : [],
    entries: [
      {
        kind: 'note',
        body: { text: `Salt calibrated: ${hydration.value.toFixed(3)} g of mix per g of dry sea salt.` },
      },
    ],
  });
}

const inDays = (from: number, to: number): number =>
  Math.max(1, Math.ceil(Math.abs(to - from) / SALINITY_STEP_PER_DAY - 1e-9));

/** Salt that raises a standing water, spread over days if animals are in it. */
export function raiseSalinity(change: {
  litres: Measured;
  from: Measured;
  to: Measured;
  temperatureC: Measured;
  hydration?: Measured | undefined;
}): Worked {
  const { litres, from, to, temperatureC, hydration } = change;
  if (to.value <= from.value)
    throw new InputFault('to', 'it is not above the salinity now', 'Use the tool that lowers salinity.');
  const inputs = { v: litres, a: from, b: to, t: temperatureC, h: hydration ?? hydrationPrior };
  const salt = propagate(({ v, a, b, t, h }) => saltToRaise(waterMass(v, a, t), a, b, h), inputs);
  const days = inDays(from.value, to.value);
  return worked({
    results: [
      figure('salt', 'Salt mix in all', salt, 'g'),
      figure('days', 'Days to spread it over, with animals in the water', days, 'd', 1),
      figure('perDay', 'Salt mix a day', { value: salt.value / days, sd: salt.sd / days }, 'g'),
    ],
    working: [
      hydrationStep(hydration),
      stepBy('density', 'mass of the water', waterMass(litres.value, from.value, temperatureC.value), 'kg'),
      step('salt', salt, 'g', 'm·(A2 − A1)/(1000/h − A2)', 'MFWM08'),
      step(
        'most in a day',
        SALINITY_STEP_PER_DAY,
        '',
        'a rise is harder on animals than a fall',
        'customary practice',
      ),
    ],
    warnings: [
      ...uncalibrated(hydration),
      'Dissolve it in tank water first and pour it slowly into strong flow; read again before the next part.',
    ],
    entries: [
      {
        kind: 'note',
        body: {
          text: `Added ${salt.value.toFixed(0)} g of salt to raise salinity from ${from.value} to ${to.value}.`,
        },
      },
      { kind: 'reading', body: { analyte: 'salinity', value: to.value } },
    ],
  });
}

/** Fresh water that lowers salinity: by dilution where there is room, or in place of tank water taken out. */
export function lowerSalinity(change: {
  litres: Measured;
  from: Measured;
  to: Measured;
  temperatureC: Measured;
}): Worked {
  const { litres, from, to, temperatureC } = change;
  if (to.value >= from.value || to.value <= 0)
    throw new InputFault(
      'to',
      'it is not below the salinity now and above 0',
      'Use the tool that raises salinity.',
    );
  const inputs = { v: litres, a: from, b: to, t: temperatureC };
  const added = propagate(
    ({ v, a, b, t }) => waterLitres(freshWaterToLower(waterMass(v, a, t), a, b), 0, t),
    inputs,
  );
  const swapped = propagate(({ v, a, b }) => v * (1 - b / a), inputs);
  const days = inDays(from.value, to.value);
  return worked({
    results: [
      figure('added', 'Fresh water to add, nothing taken out', added, 'L'),
      figure('swapped', 'Or: tank water to take out and replace with fresh', swapped, 'L'),
      figure('days', 'Days to spread it over, with invertebrates in the water', days, 'd', 1),
    ],
    working: [
      stepBy('density', 'mass of the water', waterMass(litres.value, from.value, temperatureC.value), 'kg'),
      step('fresh water', added, 'L', 'm·(S1/S2 − 1)', 'conservation of salt'),
      step('share to replace', 1 - to.value / from.value, '', '1 − S2/S1', 'conservation of salt'),
      step(
        'most in a day',
        SALINITY_STEP_PER_DAY,
        '',
        'invertebrates, stars most of all, take neither change',
        'customary practice',
      ),
    ],
    warnings: ['Dilution lowers alkalinity, calcium and everything else in the same proportion.'],
    cautions: ['CAU-E3'],
    entries: [
      { kind: 'topoff', body: { litres: Math.round(added.value * 1000) / 1000 } },
      { kind: 'reading', body: { analyte: 'salinity', value: to.value } },
    ],
  });
}
