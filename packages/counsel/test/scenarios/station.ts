import { ended } from '@brinewright/evidence';
import { foldTank, parseJournal, type TankFacts } from '@brinewright/journal';
import { type Intent, type Order, ordersOf, type Reckoning, reckon } from '../../src/index.ts';

/**
 * Case histories from a coastal field station's teaching tanks. A history is written as it would stand in a journal
 * file: day of the start-up, kind, body; day 0 is 1 March 2025, nine in the morning.
 */
export type Line = readonly [day: number, kind: string, body: object];

const tank = '01950001-0000-7000-8000-0000000000aa';
const opened = Date.UTC(2025, 2, 1, 9);
const dayMs = 86_400_000;

export const instant = (day: number): string => new Date(Math.round(opened + day * dayMs)).toISOString();

/** The journal file of a history. */
const fileOf = (lines: readonly Line[]): string =>
  [
    '{"journal":1}',
    ...lines.map(([day, kind, body], index) =>
      JSON.stringify({ id: entryId(index), tank, at: instant(day), kind, body }),
    ),
  ].join('\n');

export const entryId = (index: number): string =>
  `01950001-0000-7000-8000-${(index + 1).toString(16).padStart(12, '0')}`;

export function factsOf(lines: readonly Line[]): TankFacts {
  const { entries, problems } = parseJournal(fileOf(lines));
  if (problems.length > 0) throw new Error(JSON.stringify(problems[0]));
  return foldTank(entries, tank as TankFacts['tank']);
}

export function reckonAt(
  lines: readonly Line[],
  day: number,
  particles = 256,
  previous?: Reckoning,
): Reckoning {
  const known = lines.filter(([at]) => at <= day);
  const options = { asOf: opened + day * dayMs, particles, seed: 3 };
  return ended(reckon(factsOf(known), { ...options, ...(previous && { previous }) }));
}

/** What the advice would be on a day of a history. */
export const ordersOn = (day: number, lines: readonly Line[], intent: Intent = {}): Order[] =>
  ordersOf(reckonAt(lines, day), intent);

/** The order to do something, or with a key; fails where it is not given. */
export function the<D extends Order['do']>(orders: readonly Order[], does: D): Extract<Order, { do: D }> {
  const found = orders.find((order) => order.do === does);
  if (!found)
    throw new Error(`no order to ${does} among: ${orders.map(({ say }) => say).join(' | ') || 'none'}`);
  return found as Extract<Order, { do: D }>;
}

export const keysOf = (orders: readonly Order[]): string[] => orders.map(({ key }) => key);

export const facts = (order: Order): string => order.because.map(({ fact }) => fact).join('\n');

// What most histories begin with.
export const water: Line = [
  0,
  'tank',
  {
    name: 'Skerry',
    litres: { value: 200, sd: 8 },
    temperatureC: 25,
    salinity: 35,
    alkalinityMeqL: 2.6,
    route: 'salt+culture',
  },
];
export const kits: readonly Line[] = [
  [0, 'kit', { kit: 'ammonia-drops', analyte: 'ammonia', as: 'N', steps: [0, 0.25, 0.5, 1, 2, 4, 8] }],
  [0, 'kit', { kit: 'nitrite-drops', analyte: 'nitrite', as: 'NO2', steps: [0, 0.25, 0.5, 1, 2, 5] }],
  [0, 'kit', { kit: 'nitrate-drops', analyte: 'nitrate', as: 'NO3', steps: [0, 5, 10, 20, 40, 80] }],
  [0, 'kit', { kit: 'alkalinity-drops', analyte: 'alkalinity', resolution: 0.18 }],
];

/** A tank that has been opened, with its kits. */
export const start: readonly Line[] = [water, ...kits];
const ions = { ammonia: 'N', nitrite: 'NO2', nitrate: 'NO3' } as const;

export const read = (day: number, analyte: keyof typeof ions, value: number, more: object = {}): Line => [
  day,
  'reading',
  { analyte, as: ions[analyte], kit: `${analyte}-drops`, value, ...more },
];
export const measured = (day: number, analyte: string, value: number): Line => [
  day,
  'reading',
  { analyte, value },
];
export const dose = (day: number, nitrogenMg: number): Line => [
  day,
  'dose',
  { substance: 'ammonium-chloride', nitrogenMg },
];
export const note = (day: number, text: string): Line => [day, 'note', { text }];
export const culture: Line = [0.1, 'culture', { source: 'bottled' }];
export const fish = (day: number, count = 2): Line => [
  day,
  'arrival',
  { animals: [{ class: 'small_planktivore_clownfish', count, lengthCm: 5 }] },
];
