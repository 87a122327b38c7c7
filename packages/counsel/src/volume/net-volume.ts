import { type Measured, propagate } from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, type Worked, worked } from '../worked.ts';
import { ROCK_LITRES_PER_KG, SAND_LITRES_PER_KG } from './displacement.ts';
import { type FilledTank, floorLoad } from './floor-load.ts';
import { checkMeasures, footprint, type Shape } from './shapes.ts';

/** A tape measure's error, cm, where none is given. Our judgement. */
export const TAPE_ERROR_CM = 0.3;

/** Measures of a tank and what stands in it: cm, kg, litres. */
export type TankMeasures = {
  shape: Shape;
  length: Measured;
  width: Measured;
  bow: Measured;
  /** Height of the water above the inside of the floor. */
  waterHeight: Measured;
  glass: Measured;
  rockKg: Measured;
  sandKg: Measured;
  /** Sump, pipes, filters: water elsewhere in the same system. */
  elsewhere: Measured;
};

const orTape = (measured: Measured): Measured =>
  measured.sd > 0 || measured.value === 0 ? measured : { ...measured, sd: TAPE_ERROR_CM };

/** Litres of water in a tank as it stands, with the error of the tape, of the rock and of everything given with one. */
export function netVolume(tank: TankMeasures): Worked {
  const { shape } = tank;
  const measures = {
    length: tank.length.value,
    width: tank.width.value,
    bow: tank.bow.value,
    glass: tank.glass.value,
  };
  checkMeasures(shape, measures);
  const sizes = {
    length: orTape(tank.length),
    width: orTape(tank.width),
    bow: orTape(tank.bow),
    height: orTape(tank.waterHeight),
    glass: tank.glass,
  };
  const filled = propagate(
    ({ length, width, bow, height, glass }) =>
      (footprint(shape, { length, width, bow, glass }) * height) / 1000,
    sizes,
  );
  const rock = propagate(({ kg, each }) => kg * each, { kg: tank.rockKg, each: ROCK_LITRES_PER_KG });
  const sand = propagate(({ kg, each }) => kg * each, { kg: tank.sandKg, each: SAND_LITRES_PER_KG });
  const net = propagate(({ f, r, s, e }) => f - r - s + e, {
    f: filled,
    r: rock,
    s: sand,
    e: tank.elsewhere,
  });
  if (net.value <= 0)
    throw new InputFault(
      'rock',
      'rock and sand would take up more than the water',
      'Check their kilograms and the water height.',
    );
  const filledTank: FilledTank = {
    shape,
    measures,
    heightCm: tank.waterHeight.value,
    waterLitres: net.value - tank.elsewhere.value,
    dryKg: tank.rockKg.value + tank.sandKg.value,
  };
  const load = floorLoad(filledTank);
  const share = (100 * (filled.value + tank.elsewhere.value - net.value)) / net.value;
  return worked({
    results: [
      figure('net', 'Water in the system', net, 'L'),
      figure('filled', 'Tank up to the water line, empty of rock and sand', filled, 'L'),
      figure(
        'displaced',
        'Taken up by rock and sand',
        { value: rock.value + sand.value, sd: Math.hypot(rock.sd, sand.sd) },
        'L',
      ),
    ],
    working: [
      step('inside of the tank up to the water', filled, 'L', `${shape}: base area × water height`),
      step('rock', rock, 'L', '0.42 ± 0.06 L displaced per kg', 'our judgement'),
      step('sand', sand, 'L', '0.37 ± 0.02 L displaced per kg', 'our judgement'),
      step('sump, pipes, filters', tank.elsewhere, 'L', 'as given'),
      step('mass on its base, filled, without stand', load.massKg, 'kg', 'water, rock, sand, glass'),
    ],
    warnings: [
      ...(share > 25
        ? ['Rock and sand take up a quarter or more: a dose and two readings would tell better.']
        : []),
      ...(tank.elsewhere.value === 0 ? ['No sump, pipes or filters are counted.'] : []),
    ],
    cautions: [
      ...(load.massKg > 300 || load.kgPerM2 > 500 ? (['CAU-F1'] as const) : []),
      ...(net.value > 100 ? (['CAU-F5'] as const) : []),
    ],
    cautionWords: {
      mass: load.massKg.toFixed(0),
      area: load.areaM2.toFixed(2),
      kg_m2: load.kgPerM2.toFixed(0),
    },
    entries: [{ kind: 'tank', body: { litres: { value: round(net.value), sd: round(net.sd) } } }],
  });
}

/** Three decimals, as an entry is written. */
export const round = (value: number): number => Math.round(value * 1000) / 1000;
