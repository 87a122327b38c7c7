import type { Analyte, TankFacts } from '@brinewright/journal';
import type { Dates } from '../format/dates.ts';
import { mixingWords } from '../words/mixing.ts';

/** What a tank's journal knows and a tool may ask for. */
type Quantity = 'litres' | 'salinity' | 'temperature' | 'alkalinity';

/** A number from the journal as a tool reads it, and where it comes from. */
export interface KnownNumber {
  readonly text: string;
  readonly from: string;
}

export type Known = Readonly<Partial<Record<Quantity, KnownNumber>>>;

const tankWater = { litres: 'litres', salinity: 'salinity', temperature: 'temperature' } as const;

/** Which fields of which tool ask for the tank's own water, so that the journal can fill them. */
const asks: Readonly<Record<string, Readonly<Record<string, Quantity>>>> = {
  'volume-by-salt': { temperature: 'temperature' },
  'new-batch': { salinity: 'salinity', temperature: 'temperature' },
  'raise-salinity': { litres: 'litres', from: 'salinity', temperature: 'temperature' },
  'lower-salinity': { litres: 'litres', from: 'salinity', temperature: 'temperature' },
  'replace-evaporation': { litres: 'litres', kept: 'salinity', temperature: 'temperature' },
  'blend-waters': { ...tankWater, alkalinity: 'alkalinity' },
  'water-changes': {
    litres: 'litres',
    newSalinity: 'salinity',
    newTemperature: 'temperature',
    salinity: 'salinity',
    alkalinity: 'alkalinity',
  },
  'warm-new-water': { litres: 'litres', tank: 'temperature', salinity: 'salinity' },
  'running-exchange': { litres: 'litres' },
  'one-water': { salinity: 'salinity', temperature: 'temperature', alkalinity: 'alkalinity' },
  hydrometer: { temperature: 'temperature' },
  'gravity-scales': { salinity: 'salinity', temperature: 'temperature' },
  conductivity: { temperature: 'temperature' },
  'ammonia-from-salt': tankWater,
  'ammonia-from-bottle': tankWater,
  'dose-check': { litres: 'litres' },
  'raise-alkalinity': { ...tankWater, now: 'alkalinity' },
  'raise-calcium': { litres: 'litres' },
  'raise-magnesium': { litres: 'litres' },
};

/** The number a tank's journal has for a field, if the field asks for one. */
export const knownFor = (tool: string, field: string, known: Known): KnownNumber | undefined => {
  const quantity = asks[tool]?.[field];
  return quantity === undefined ? undefined : known[quantity];
};

/** The newest of what was read and what was stated, each with its source. */
export function knownOf(facts: TankFacts, dates: Dates): Known {
  const { litres } = facts;
  const newest = (analyte: Analyte, stated: (s: TankFacts['statements'][number]) => number | undefined) => {
    const read = facts.readings.findLast((each) => each.analyte === analyte && isPlain(each));
    const said = facts.statements.findLast((each) => stated(each) !== undefined);
    const of = mixingWords.known;
    if (read?.value !== undefined && (said === undefined || read.at >= said.at))
      return { text: String(read.value), from: of.read(dates.day(read.at)) };
    const value = said === undefined ? undefined : stated(said);
    return value === undefined ? undefined : { text: String(value), from: of.stated };
  };
  return withoutGaps({
    litres: litres && {
      text: litres.sd === 0 ? `${litres.value}` : `${litres.value} ± ${litres.sd}`,
      from: mixingWords.known.stated,
    },
    salinity: newest('salinity', (s) => s.salinity),
    temperature: newest('temperature', (s) => s.temperatureC),
    alkalinity: newest('alkalinity', (s) => s.alkalinityMeqL),
  });
}

function withoutGaps(found: Readonly<Record<Quantity, KnownNumber | undefined>>): Known {
  return Object.fromEntries(Object.entries(found).filter(([, number]) => number !== undefined));
}

/** One number, of the water as it is. */
const isPlain = ({ value, dilution = 1 }: TankFacts['readings'][number]) =>
  value !== undefined && dilution === 1;
