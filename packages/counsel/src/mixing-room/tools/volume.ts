import type { Measured } from '@brinewright/seawater';
import { volumeFromDose, volumeFromSalt } from '../../volume/from-tracer.ts';
import { netVolume } from '../../volume/net-volume.ts';
import { sumpVolume } from '../../volume/sump.ts';
import type { QuantityField } from '../fields.ts';
import { defineTool, type Tool } from '../tool.ts';
import { hydration, salinity, temperature } from './common.ts';

const length = (title: string, help: string, preset?: string) =>
  ({
    kind: 'length',
    title,
    help,
    low: 0,
    high: 2000,
    ...(preset === undefined ? {} : { preset }),
  }) as const satisfies QuantityField;

const kilograms = (grams: Measured): Measured => ({ value: grams.value / 1000, sd: grams.sd / 1000 });

const shape = defineTool({
  id: 'tank-volume',
  shelf: 'volume',
  title: 'How much water a tank holds',
  purpose: 'Net litres from outside measures, glass, water height, rock and sand, with the error.',
  fields: {
    shape: {
      kind: 'choice',
      title: 'Shape',
      help: 'seen from above',
      options: {
        box: 'straight sides',
        cylinder: 'round: length is the diameter',
        'bow-front': 'box with an arched front: width at the sides, bow in the middle',
        hexagon: 'regular hexagon: length between opposite sides',
        'quarter-round': 'corner tank: length of a straight side',
      },
      preset: 'box',
    },
    length: length('Length', 'outside'),
    width: length('Width', 'outside, front to back; for box and bow-front', '0'),
    bow: length('Bow', 'how much deeper the middle is than the sides', '0'),
    waterHeight: length('Water height', 'from the inside of the floor to the water line'),
    glass: length('Glass', 'thickness of the panes', '1 cm'),
    rock: { kind: 'mass', bareUnit: 'kg', title: 'Rock', help: 'dry, kg', preset: '0', low: 0, high: 1e7 },
    sand: { kind: 'mass', bareUnit: 'kg', title: 'Sand', help: 'dry, kg', preset: '0', low: 0, high: 1e7 },
    elsewhere: {
      kind: 'volume',
      title: 'Water elsewhere',
      help: 'in sump, pipes and filters',
      preset: '0',
      low: 0,
      high: 1e6,
    },
  },
  compute: ({ rock, sand, ...tank }) =>
    netVolume({ ...tank, rockKg: kilograms(rock), sandKg: kilograms(sand) }),
});

const sump = defineTool({
  id: 'sump-volume',
  shelf: 'volume',
  title: 'How much water a sump holds, and whether it can take what drains back',
  purpose: 'Litres at the running height, and the room left when the pump stops.',
  fields: {
    length: length('Length', 'inside'),
    width: length('Width', 'inside'),
    runningHeight: length('Running height', 'of the water while the pump runs'),
    rimHeight: length('Rim height', 'inside, from floor to rim'),
    baffles: {
      kind: 'number',
      title: 'Baffles',
      help: 'how many stand across the width',
      preset: '0',
      low: 0,
      high: 50,
    },
    baffleThickness: length('Baffle thickness', 'of each', '0.6 cm'),
    drainBack: {
      kind: 'volume',
      title: 'What drains back',
      help: 'litres from tank and pipes when the pump stops',
      preset: '0',
      low: 0,
      high: 1e6,
    },
  },
  compute: sumpVolume,
});

const amount = {
  kind: 'nitrogenMass',
  title: 'Dose',
  help: 'nitrogen put in: 400 mg N, or 1.53 g NH4Cl, or 2.4 g NaNO3',
  low: 0.001,
  high: 1e9,
} as const satisfies QuantityField;

const reading = (title: string) =>
  ({
    kind: 'nitrogen',
    title,
    help: 'of the same, with what the kit counts and its error: 2.0 ± 0.2 mg/L N',
    low: 0,
    high: 1000,
  }) as const satisfies QuantityField;

const dose = defineTool({
  id: 'volume-by-dose',
  shelf: 'volume',
  title: 'How much water there is, from a dose and two readings',
  purpose: 'A known amount of ammonia or nitrate, and how far it raised the reading.',
  fields: { dose: amount, before: reading('Reading before'), after: reading('Reading after') },
  compute: (given) => volumeFromDose({ milligrams: given.dose, before: given.before, after: given.after }),
});

const salt = defineTool({
  id: 'volume-by-salt',
  shelf: 'volume',
  title: 'How much water there is, from the salt that was added',
  purpose: 'A weighed amount of salt mix, and the salinity before and after.',
  fields: {
    salt: { kind: 'mass', title: 'Salt mix added', help: 'g or kg', low: 0.1, high: 1e8 },
    before: { ...salinity, title: 'Salinity before', preset: '0' },
    after: { kind: salinity.kind, title: 'Salinity after', help: salinity.help, low: 0, high: 45 },
    temperature,
    hydration,
  },
  compute: (given) =>
    volumeFromSalt({
      grams: given.salt,
      before: given.before,
      after: given.after,
      temperatureC: given.temperature,
      hydration: given.hydration,
    }),
});

export const volumeTools: readonly Tool[] = [shape, sump, dose, salt];
