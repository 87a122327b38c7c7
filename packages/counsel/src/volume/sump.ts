import { type Measured, propagate } from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, type Worked, worked } from '../worked.ts';
import { TAPE_ERROR_CM } from './net-volume.ts';

/** A sump: a box with baffles across its width; cm inside. */
export type SumpMeasures = {
  length: Measured;
  width: Measured;
  /** Height of the water while the pump runs. */
  runningHeight: Measured;
  /** Inside height up to the rim. */
  rimHeight: Measured;
  baffles: Measured;
  baffleThickness: Measured;
  /** Litres that run back from tank and pipes when the pump stops. */
  drainBack: Measured;
};

/** Water in a sump while it runs, and whether it can hold what drains back when the power fails. */
export function sumpVolume(sump: SumpMeasures): Worked {
  const sizes = {
    length: { ...sump.length, sd: sump.length.sd || TAPE_ERROR_CM },
    width: { ...sump.width, sd: sump.width.sd || TAPE_ERROR_CM },
    height: { ...sump.runningHeight, sd: sump.runningHeight.sd || TAPE_ERROR_CM },
    rim: { ...sump.rimHeight, sd: sump.rimHeight.sd || TAPE_ERROR_CM },
    back: sump.drainBack,
  };
  const walls = sump.baffles.value * sump.baffleThickness.value;
  if (sump.length.value <= walls)
    throw new InputFault('baffles', 'they leave no room for water', 'Check their number and thickness.');
  if (sump.rimHeight.value < sump.runningHeight.value)
    throw new InputFault(
      'rimHeight',
      'it lies below the running water',
      'Measure both from the floor inside.',
    );
  const water = propagate(({ length, width, height }) => ((length - walls) * width * height) / 1000, sizes);
  const spare = propagate(
    ({ length, width, height, rim, back }) => ((length - walls) * width * (rim - height)) / 1000 - back,
    sizes,
  );
  const floods = spare.value < 2 * spare.sd;
  return worked({
    results: [
      figure('running', 'Water in the sump while it runs', water, 'L'),
      figure('spare', 'Room left after everything has drained back', spare, 'L'),
    ],
    working: [
      step('length taken by baffles', walls, 'cm', 'number × thickness'),
      step('water at the running height', water, 'L', '(length − baffles) × width × height'),
      step('room left', spare, 'L', 'up to the rim, less what drains back'),
    ],
    warnings: floods
      ? ['With its error counted in, the sump may overflow when the pump stops: lower the running height.']
      : [],
    cautions: ['CAU-F5', 'CAU-E2'],
  });
}
