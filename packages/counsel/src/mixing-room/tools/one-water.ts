import { describeWater } from '../../water/water.ts';
import { defineTool } from '../tool.ts';
import { alkalinity, nitrogen, pH, roomCO2, salinity } from './common.ts';

/** Everything that can be said of one water, from temperature and salinity and whatever else was measured. */
export const waterTool = defineTool({
  id: 'one-water',
  shelf: 'water',
  title: 'Everything about one water',
  purpose: 'Density, instruments, oxygen, pH scales, carbonate and ammonia of a water you have measured.',
  fields: {
    temperature: {
      kind: 'temperature',
      title: 'Temperature',
      help: 'such as 25, 25 ± 0.5 C or 77 F',
      low: -2,
      high: 45,
    },
    salinity: { kind: 'salinity', title: 'Salinity', help: salinity.help, low: 0, high: 60 },
    ph: { ...pH, optional: true },
    phScale: {
      kind: 'choice',
      title: 'Scale of the pH',
      help: 'probes and kits read NBS',
      options: {
        NBS: 'set with fresh-water buffers',
        total: 'set with Tris seawater buffer',
        SWS: 'seawater scale',
        free: 'free hydrogen ion',
      },
      preset: 'NBS',
    },
    alkalinity: { ...alkalinity, low: 0.001, optional: true },
    ammonia: { ...nitrogen, optional: true },
    calcium: {
      kind: 'massConcentration',
      title: 'Calcium',
      help: 'mg/L',
      optional: true,
      low: 0,
      high: 10000,
    },
    roomCo2: roomCO2,
    pressure: { kind: 'number', title: 'Barometer', help: 'atm', preset: '1', low: 0.5, high: 1.2 },
  },
  compute: (given) =>
    describeWater({
      temperatureC: given.temperature,
      salinity: given.salinity,
      pH: given.ph,
      pHScale: given.phScale,
      alkalinityMeqL: given.alkalinity,
      ammonia: given.ammonia,
      calcium: given.calcium,
      roomCO2: given.roomCo2,
      pressureAtm: given.pressure,
    }),
});
