import { exactly } from '@brinewright/seawater';
import { blend } from '../../mixing/blend.ts';
import { replaceEvaporation } from '../../mixing/evaporation.ts';
import { changesToTarget, continuousOrBatch, warmNewWater } from '../../mixing/exchange.ts';
import { calibrateSalt, lowerSalinity, newBatch, raiseSalinity } from '../../mixing/salt.ts';
import type { QuantityField } from '../fields.ts';
import { defineTool, type Tool } from '../tool.ts';
import { alkalinity, hydration, litres, nitrogen, pH, salinity, temperature } from './common.ts';

const salinityNamed = (title: string) =>
  ({ kind: 'salinity', title, help: salinity.help, low: 0, high: 45 }) as const satisfies QuantityField;

const nitrateNamed = (title: string) =>
  ({
    kind: 'nitrogen',
    title,
    help: 'with what the kit counts: 20 mg/L NO3',
    low: 0,
    high: 1000,
  }) as const satisfies QuantityField;

const alkalinityNamed = (title: string) =>
  ({ ...alkalinity, title, optional: true }) as const satisfies QuantityField;

const phosphateNamed = (title: string) =>
  ({
    kind: 'phosphorus',
    title,
    help: 'with what the kit counts: 0.1 mg/L PO4',
    optional: true,
    low: 0,
    high: 100,
  }) as const satisfies QuantityField;

const batch = defineTool({
  id: 'new-batch',
  shelf: 'water',
  title: 'Make a batch of seawater',
  purpose: 'Salt to weigh and fresh water to measure for a volume at a salinity.',
  fields: {
    litres: { ...litres, title: 'Finished water', help: 'how much is wanted' },
    salinity,
    temperature,
    hydration,
  },
  compute: ({ litres: volume, salinity: wanted, temperature: at, hydration: h }) =>
    newBatch({ litres: volume, salinity: wanted, temperatureC: at, hydration: h }),
});

const calibrate = defineTool({
  id: 'calibrate-salt',
  shelf: 'water',
  title: 'Learn your own salt mix from one batch',
  purpose: 'From the salt weighed, the water measured and the salinity it gave.',
  fields: {
    salt: { kind: 'mass', title: 'Salt mix weighed', help: 'g or kg', low: 1, high: 1e7 },
    water: { ...litres, title: 'Fresh water', help: 'measured out before the salt went in' },
    salinity: salinityNamed('Salinity measured'),
    temperature,
  },
  compute: (given) =>
    calibrateSalt({
      grams: given.salt,
      waterLitres: given.water,
      temperatureC: given.temperature,
      salinity: given.salinity,
    }),
});

const raise = defineTool({
  id: 'raise-salinity',
  shelf: 'water',
  title: 'Raise the salinity of a tank',
  purpose: 'Salt to add, and over how many days.',
  fields: {
    litres,
    from: salinityNamed('Salinity now'),
    to: salinityNamed('Salinity wanted'),
    temperature,
    hydration,
  },
  compute: ({ temperature: temperatureC, ...change }) => raiseSalinity({ ...change, temperatureC }),
});

const lower = defineTool({
  id: 'lower-salinity',
  shelf: 'water',
  title: 'Lower the salinity of a tank',
  purpose: 'Fresh water to add, or tank water to replace with fresh.',
  fields: { litres, from: salinityNamed('Salinity now'), to: salinityNamed('Salinity wanted'), temperature },
  compute: ({ temperature: temperatureC, ...change }) => lowerSalinity({ ...change, temperatureC }),
});

const evaporation = defineTool({
  id: 'replace-evaporation',
  shelf: 'water',
  title: 'Replace what evaporated',
  purpose: 'Fresh water to add, and what earlier readings mean after it.',
  fields: {
    litres: { ...litres, title: 'Water left in the system' },
    now: salinityNamed('Salinity now'),
    kept: { ...salinityNamed('Salinity you keep'), preset: '35' },
    temperature,
  },
  compute: (given) =>
    replaceEvaporation({
      litres: given.litres,
      salinityNow: given.now,
      salinityKept: given.kept,
      temperatureC: given.temperature,
    }),
});

const two = defineTool({
  id: 'blend-waters',
  shelf: 'water',
  title: 'Blend two waters',
  purpose: 'Salinity, temperature, alkalinity, nitrate, pH and free ammonia of two waters poured together.',
  fields: {
    litres: { ...litres, title: 'First water' },
    salinity: { ...salinity, title: 'Its salinity' },
    temperature: { ...temperature, title: 'Its temperature' },
    alkalinity: alkalinityNamed('Its alkalinity'),
    nitrate: { ...nitrateNamed('Its nitrate'), optional: true },
    ammonia: { ...nitrogen, title: 'Its total ammonia', optional: true },
    ph: { ...pH, title: 'Its pH', optional: true },
    otherLitres: { ...litres, title: 'Second water' },
    otherSalinity: { ...salinity, title: 'Its salinity' },
    otherTemperature: { ...temperature, title: 'Its temperature' },
    otherAlkalinity: alkalinityNamed('Its alkalinity'),
    otherNitrate: { ...nitrateNamed('Its nitrate'), optional: true },
    otherAmmonia: { ...nitrogen, title: 'Its total ammonia', optional: true },
    otherPh: { ...pH, title: 'Its pH', optional: true },
  },
  compute: (given) =>
    blend(
      {
        litres: given.litres,
        salinity: given.salinity,
        temperatureC: given.temperature,
        alkalinityMeqL: given.alkalinity,
        nitrate: given.nitrate,
        ammonia: given.ammonia,
        pH: given.ph,
      },
      {
        litres: given.otherLitres,
        salinity: given.otherSalinity,
        temperatureC: given.otherTemperature,
        alkalinityMeqL: given.otherAlkalinity,
        nitrate: given.otherNitrate,
        ammonia: given.otherAmmonia,
        pH: given.otherPh,
      },
    ),
});

const changes = defineTool({
  id: 'water-changes',
  shelf: 'water',
  title: 'Bring nitrate down by water changes',
  purpose: 'Litres and salt of equal changes to a target, and what every reading becomes after each.',
  fields: {
    litres,
    nitrate: nitrateNamed('Nitrate now'),
    target: nitrateNamed('Nitrate wanted'),
    changes: {
      kind: 'number',
      title: 'Changes',
      help: 'how many equal ones',
      preset: '1',
      low: 1,
      high: 100,
    },
    newNitrate: { ...nitrateNamed('Nitrate of the new water'), preset: '0 mg/L NO3' },
    newSalinity: { ...salinity, title: 'Salinity of the new water' },
    newTemperature: { ...temperature, title: 'Temperature of the new water' },
    salinity: { ...salinityNamed('Salinity now'), optional: true },
    ammonia: { ...nitrogen, title: 'Total ammonia now', optional: true },
    newAmmonia: { ...nitrogen, title: 'Total ammonia of the new water', optional: true },
    alkalinity: alkalinityNamed('Alkalinity now'),
    newAlkalinity: alkalinityNamed('Alkalinity of the new water'),
    phosphate: phosphateNamed('Phosphate now'),
    newPhosphate: phosphateNamed('Phosphate of the new water'),
    hydration,
  },
  compute: (given) =>
    changesToTarget({
      litres: given.litres,
      target: given.target,
      count: given.changes.value,
      temperatureC: given.newTemperature,
      newSalinity: given.newSalinity,
      hydration: given.hydration,
      now: {
        nitrate: given.nitrate,
        ammonia: given.ammonia,
        alkalinity: given.alkalinity,
        phosphate: given.phosphate,
        salinity: given.salinity,
      },
      fresh: {
        nitrate: given.newNitrate,
        // Where only the tank's ammonia is known, new water is taken to hold none: it should.
        ammonia: given.newAmmonia ?? (given.ammonia ? exactly(0) : undefined),
        alkalinity: given.newAlkalinity,
        phosphate: given.newPhosphate,
        salinity: given.newSalinity,
      },
    }),
});

const warm = defineTool({
  id: 'warm-new-water',
  shelf: 'water',
  title: 'How warm new water must be',
  purpose: 'So that the tank has the temperature wanted after a change.',
  fields: {
    litres,
    share: { kind: 'fraction', title: 'Share changed', help: 'such as 20 %', low: 0.001, high: 0.99 },
    tank: { ...temperature, title: 'Temperature of the tank' },
    wanted: { ...temperature, title: 'Temperature wanted' },
    salinity,
  },
  compute: (given) =>
    warmNewWater({
      litres: given.litres,
      share: given.share,
      tankC: given.tank,
      wantedC: given.wanted,
      salinity: given.salinity,
    }),
});

const running = defineTool({
  id: 'running-exchange',
  shelf: 'water',
  title: 'One change, several, or running water',
  purpose: 'How much new water each way takes to the same dilution of nitrate.',
  fields: {
    litres,
    nitrate: nitrateNamed('Nitrate now'),
    target: nitrateNamed('Nitrate wanted'),
    newNitrate: { ...nitrateNamed('Nitrate of the new water'), preset: '0 mg/L NO3' },
    parts: {
      kind: 'number',
      title: 'Equal changes',
      help: 'to compare with',
      preset: '4',
      low: 1,
      high: 100,
    },
    flow: {
      kind: 'flow',
      title: 'Flow',
      help: 'of running water, L/h',
      preset: '2 L/h',
      low: 0.001,
      high: 1e5,
    },
  },
  compute: (given) =>
    continuousOrBatch({
      litres: given.litres,
      now: given.nitrate,
      fresh: given.newNitrate,
      target: given.target,
      parts: Math.round(given.parts.value),
      litresPerHour: given.flow,
    }),
});

export const waterTools: readonly Tool[] = [
  batch,
  calibrate,
  raise,
  lower,
  evaporation,
  two,
  changes,
  warm,
  running,
];
