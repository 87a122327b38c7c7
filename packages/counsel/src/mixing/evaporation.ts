import { freshWaterToLower, type Measured, propagate, waterLitres, waterMass } from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, stepBy, type Worked, worked } from '../worked.ts';

/** Fresh water that makes good what evaporated, and what a reading taken before topping up means after it. */
export function replaceEvaporation(loss: {
  litres: Measured;
  salinityNow: Measured;
  salinityKept: Measured;
  temperatureC: Measured;
}): Worked {
  const { litres, salinityNow, salinityKept, temperatureC } = loss;
  if (salinityNow.value < salinityKept.value)
    throw new InputFault(
      'salinityNow',
      'it lies below the salinity you keep: nothing has evaporated',
      'Look for fresh water that ran in, or check the instrument.',
    );
  const inputs = { v: litres, now: salinityNow, kept: salinityKept, t: temperatureC };
  const water = propagate(
    ({ v, now, kept, t }) => waterLitres(freshWaterToLower(waterMass(v, now, t), now, kept), 0, t),
    inputs,
  );
  const factor = propagate(({ now, kept }) => kept / now, inputs);
  const rise = salinityNow.value - salinityKept.value;
  return worked({
    results: [
      figure('water', 'Fresh water to add', water, 'L'),
      figure('factor', 'Multiply readings taken before topping up by', factor, ''),
    ],
    working: [
      stepBy(
        'density',
        'mass of the water',
        waterMass(litres.value, salinityNow.value, temperatureC.value),
        'kg',
      ),
      step('fresh water', water, 'L', 'm·(S1/S2 − 1)', 'conservation of salt'),
      step(
        'readings',
        factor,
        '',
        'S2/S1: salt, alkalinity and nitrogen stay behind',
        'conservation of mass',
      ),
    ],
    warnings: [
      ...(rise > 1 ? ['Salinity is more than 1 too high: add the water over several hours or days.'] : []),
      'Replace evaporation with fresh water, never with salt water.',
    ],
    entries: [{ kind: 'topoff', body: { litres: Math.round(water.value * 1000) / 1000 } }],
  });
}
