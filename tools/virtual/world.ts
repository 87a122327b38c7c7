import { live, type OtherTank, otherTank, stepDays } from '../calibration/other-biology.ts';
import { around, chance, oneOf, type Random } from '../calibration/random.ts';

/** What is wrong with a virtual tank or its keeper; several may be. */
export type Trouble =
  | 'wrong-litres'
  | 'poor-kits'
  | 'dead-culture'
  | 'low-alkalinity'
  | 'cold-room'
  | 'skipped-days';

/** How a virtual tank is begun. */
export type Beginning = 'ammonia' | 'ammonia and culture' | 'media' | 'live rock' | 'food' | 'animals';

/** A tank as it truly is, of another biology than the fitted model's, and what its keeper believes of it. */
export interface World {
  readonly beginning: Beginning;
  readonly troubles: ReadonlySet<Trouble>;
  /** Litres written down, and those that are there. */
  readonly believedLitres: number;
  readonly trueLitres: number;
  /** Alkalinity of newly made water, meq/L. */
  readonly freshAlkalinity: number;
  readonly pH: number;
  /** mg N a day of the animals it is meant for, as the keeper reckons it. */
  readonly plannedLoad: number;
  /** Factor by which animals are fed more than the tables say. */
  readonly lavishness: number;
  readonly reader: Reader;
  /** Capacity a further bottle brings, mg N/L/d. */
  readonly bottle: number;
  tank: OtherTank;
  day: number;
}

interface Reader {
  readonly blur: number;
  readonly bias: Readonly<Record<Carded, number>>;
  /** mg/L of ammonia seen in water that has none. */
  readonly tint: number;
  readonly cross: number;
  /** Factor on every dose poured. */
  readonly hand: number;
}

export const cards = {
  ammonia: { as: 'N', factor: 1, steps: [0, 0.25, 0.5, 1, 2, 4, 8] },
  nitrite: { as: 'NO2', factor: 0.30446, steps: [0, 0.25, 0.5, 1, 2, 5] },
  nitrate: { as: 'NO3', factor: 0.2259, steps: [0, 5, 10, 20, 40, 80, 160] },
} as const;
export type Carded = keyof typeof cards;

const share = { wrong: 0.25, poor: 0.25, dead: 0.3, sour: 0.2, cold: 0.2, skips: 0.25 } as const;

/** Of eight tanks two are begun with ammonia alone, two with a culture too, and one each by the other ways. */
const beginnings = [
  'ammonia',
  'ammonia',
  'ammonia and culture',
  'ammonia and culture',
  'media',
  'live rock',
  'food',
  'animals',
] as const satisfies readonly Beginning[];

/** A tank drawn with its troubles; the same for the same random stream. */
export function drawWorld(random: Random, beginning: Beginning = oneOf(random, beginnings)): World {
  const troubles = drawTroubles(random, beginning);
  const believedLitres = oneOf(random, [60, 120, 200, 350]);
  const off = troubles.has('wrong-litres') ? oneOf(random, [0.7, 1.35]) : around(random, 1, 0.06);
  const bottle = around(random, 0.02, 1.8);
  const inoculum = inoculumOf(random, beginning, troubles.has('dead-culture') ? undefined : bottle);
  const freshAlkalinity = troubles.has('low-alkalinity')
    ? around(random, 1.2, 0.08)
    : around(random, 2.6, 0.06);
  const tank = otherTank(random, {
    salt: true,
    ammoniaInoculum: inoculum,
    nitriteInoculum: inoculum * around(random, 0.6, 0.9),
    temperatureC: troubles.has('cold-room') ? 20 : 25.2,
  });
  return {
    beginning,
    troubles,
    believedLitres,
    trueLitres: believedLitres * off,
    freshAlkalinity,
    pH: 8.1 + 0.12 * random.normal(),
    plannedLoad: believedLitres * around(random, 0.1, 0.7),
    lavishness: around(random, 1, 0.3),
    reader: drawReader(random, troubles.has('poor-kits')),
    bottle,
    tank: {
      ...tank,
      alkalinity: freshAlkalinity,
      // What dies on rock that was shipped wet.
      organic: tank.organic + (beginning === 'live rock' ? around(random, 0.8, 0.6) : 0),
    },
    day: 0,
  };
}

function drawTroubles(random: Random, beginning: Beginning): Set<Trouble> {
  const troubles = new Set<Trouble>();
  if (chance(random, share.wrong)) troubles.add('wrong-litres');
  if (chance(random, share.poor)) troubles.add('poor-kits');
  if (beginning === 'ammonia and culture' && chance(random, share.dead)) troubles.add('dead-culture');
  if (chance(random, share.sour)) troubles.add('low-alkalinity');
  if (chance(random, share.cold)) troubles.add('cold-room');
  if (chance(random, share.skips)) troubles.add('skipped-days');
  return troubles;
}

/** mg N/L/d of living capacity at the start. */
function inoculumOf(random: Random, beginning: Beginning, bottle: number | undefined): number {
  if (beginning === 'media') return around(random, 0.4, 1);
  if (beginning === 'live rock') return around(random, 0.1, 1);
  if (beginning === 'ammonia and culture' && bottle !== undefined) return bottle;
  return around(random, 2e-4, 1.5);
}

function drawReader(random: Random, poor: boolean): Reader {
  const bias = (): number => random.normal() * (poor ? 0.3 : 0.12);
  return {
    blur: poor ? 0.35 : 0.18,
    bias: { ammonia: bias(), nitrite: bias(), nitrate: bias() },
    tint: poor ? around(random, 0.12, 0.5) : around(random, 0.03, 0.5),
    cross: around(random, 0.5, 0.4),
    hand: around(random, 1, 0.08),
  };
}

/** Lets the tank live to a day. */
export function liveTo(world: World, day: number): void {
  while (world.day < day - stepDays / 2) {
    live(world.tank, world.day);
    world.day += stepDays;
  }
}

/** Ammonia poured in, mg of nitrogen as the keeper believes. */
export function pour(world: World, nitrogenMg: number): void {
  const rise = (nitrogenMg * world.reader.hand) / world.trueLitres;
  world.tank.ammonia += rise;
  world.tank.freed += rise;
}

/** Share of rotting food's nitrogen that comes free as ammonia (other-biology.ts). */
const freedShare = 0.8;

/** Food laid in to rot, mg of nitrogen. */
export function layFood(world: World, nitrogenMg: number): void {
  world.tank.organic += (nitrogenMg * world.reader.hand) / world.trueLitres / freedShare;
}

export function exchange(world: World, fraction: number): void {
  const { tank } = world;
  for (const name of ['ammonia', 'nitrite', 'nitrate', 'organic'] as const) tank[name] *= 1 - fraction;
  tank.alkalinity += fraction * (2.6 - tank.alkalinity);
}

export function addAlkalinity(world: World, meqL: number): void {
  world.tank.alkalinity += (meqL * world.believedLitres) / world.trueLitres;
}

export function addCulture(world: World): void {
  for (const group of [world.tank.oxidisers.ammonia, world.tank.oxidisers.nitrite])
    for (const strain of group) strain.capacity += world.bottle / 2;
}

export function warm(world: World, temperatureC: number): void {
  world.tank = { ...world.tank, temperatureC };
}

/** The step of the card a reader picks, in the card's own ion. */
export function readCard(world: World, random: Random, analyte: Carded, dilution = 1): number {
  const { steps, factor } = cards[analyte];
  const { reader, tank } = world;
  if (chance(random, 0.03)) return oneOf(random, steps);
  const level =
    analyte === 'nitrate'
      ? tank.nitrate + reader.cross * tank.nitrite
      : tank[analyte] + (analyte === 'ammonia' ? reader.tint : 0);
  const offset = steps[1] / 2;
  const seen =
    Math.log(level / factor / dilution + offset) + reader.bias[analyte] + reader.blur * random.normal();
  const distance = steps.map((step) => Math.abs(Math.log(step + offset) - seen));
  return steps[distance.indexOf(Math.min(...distance))]!;
}

const tenth = (value: number): number => Math.round(10 * value) / 10;

export const readAlkalinity = (world: World, random: Random): number =>
  Math.max(0, tenth(world.tank.alkalinity + 0.12 * random.normal()));

export const readPH = (world: World, random: Random): number => tenth(world.pH + 0.1 * random.normal());

export const readTemperature = (world: World): number => tenth(world.tank.temperatureC);

const clear = 0.1;

/** Whether the tank, as it is, clears a challenge of so many mg N/L: ammonia in a day, nitrite in two. */
export function carries(world: World, mgNL: number): boolean {
  const twin: World = { ...world, tank: structuredClone(world.tank) };
  twin.tank.ammonia += mgNL;
  liveTo(twin, world.day + 1);
  const cleared = twin.tank.ammonia < clear;
  liveTo(twin, world.day + 2);
  return cleared && twin.tank.nitrite < clear;
}
