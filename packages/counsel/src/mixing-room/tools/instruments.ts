import { readConductivity } from '../../instruments/conductivity.ts';
import { gravityScales, readHydrometer } from '../../instruments/gravity.ts';
import { readRefractometer } from '../../instruments/refractometer.ts';
import { readReferencePair } from '../../units/parse.ts';
import { defineTool, type Tool } from '../tool.ts';
import { refractometerScale, salinity, scale, temperature } from './common.ts';

const hydrometer = defineTool({
  id: 'hydrometer',
  shelf: 'instruments',
  title: 'What a hydrometer really says',
  purpose: 'Salinity from its reading, its scale, what it is made of and how warm the water is.',
  fields: {
    reading: {
      kind: 'specificGravity',
      title: 'Reading',
      help: 'specific gravity, such as 1.0245 ± 0.0005',
      low: 0.98,
      high: 1.06,
    },
    scale,
    temperature,
    body: {
      kind: 'choice',
      title: 'Made of',
      help: 'decides how it grows with warmth',
      options: {
        glass: 'glass float',
        plastic: 'plastic float',
        'swing-arm': 'plastic box with a swinging arm',
      },
      preset: 'glass',
    },
    calibratedAt: {
      kind: 'temperature',
      title: 'Marked at',
      help: 'where that differs from the sample temperature of its scale',
      optional: true,
      low: 0,
      high: 45,
    },
  },
  compute: (given) =>
    readHydrometer({
      specificGravity: given.reading,
      scale: readReferencePair('scale', given.scale),
      temperatureC: given.temperature,
      body: given.body,
      calibratedAtC: given.calibratedAt,
    }),
});

const gravity = defineTool({
  id: 'gravity-scales',
  shelf: 'instruments',
  title: 'One salinity on every scale of specific gravity',
  purpose: 'What instruments of each scale show in the same water.',
  fields: { salinity, temperature },
  compute: (given) => gravityScales({ salinity: given.salinity, temperatureC: given.temperature }),
});

const refractometer = defineTool({
  id: 'refractometer',
  shelf: 'instruments',
  title: 'What a refractometer really says',
  purpose: 'Salinity from its reading, its scale and what it was last set with.',
  fields: {
    reading: {
      kind: 'number',
      title: 'Reading',
      help: 'on its ppt scale, such as 35 ± 0.5',
      low: -10,
      high: 100,
    },
    scale: refractometerScale,
    setWith: {
      kind: 'choice',
      title: 'Last set with',
      help: 'the fluid its screw was turned for',
      options: { 'fresh-water': 'pure water, to zero', standard: 'a standard near 35' },
      preset: 'fresh-water',
    },
    standard: { ...salinity, title: 'The standard’s salinity' },
    standardShown: {
      kind: 'number',
      title: 'Made to show in it',
      help: 'what the instrument was set to in the standard',
      preset: '35',
      low: 0,
      high: 100,
    },
    compensated: {
      kind: 'choice',
      title: 'Temperature compensation',
      help: 'whether it says so on the instrument',
      options: { yes: 'has it', no: 'has none' },
      preset: 'yes',
    },
    temperature: { ...temperature, preset: '20 C' },
  },
  compute: (given) =>
    readRefractometer({
      shown: given.reading,
      scale: given.scale,
      setWith: given.setWith,
      standard: given.standard,
      standardShown: given.standardShown,
      compensated: given.compensated === 'yes',
      temperatureC: given.temperature,
    }),
});

const conductivity = defineTool({
  id: 'conductivity',
  shelf: 'instruments',
  title: 'What a conductivity meter really says',
  purpose: 'Salinity from its reading, the temperature and how it compensates.',
  fields: {
    reading: {
      kind: 'conductivity',
      title: 'Reading',
      help: 'mS/cm, with its error if you know it',
      low: 0.001,
      high: 120,
    },
    temperature,
    compensation: {
      kind: 'choice',
      title: 'Compensation',
      help: 'how it refers the reading to 25 °C',
      options: {
        none: 'none: conductivity as it is',
        seawater: 'by a curve for seawater',
        fixed: 'by a fixed percentage per degree',
      },
      preset: 'none',
    },
    perDegree: {
      kind: 'fraction',
      title: 'Percentage per degree',
      help: 'of a meter with a fixed one',
      preset: '2 %',
      low: 0,
      high: 0.05,
    },
  },
  compute: (given) =>
    readConductivity({
      mSCm: given.reading,
      temperatureC: given.temperature,
      compensation: given.compensation,
      sharePerDegree: given.perDegree,
    }),
});

export const instrumentTools: readonly Tool[] = [hydrometer, gravity, refractometer, conductivity];
