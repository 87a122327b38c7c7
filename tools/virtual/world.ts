import { freeAmmoniaFraction } from '@brinewright/seawater';
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

export type StartRoute = 'salt' | 'salt+culture' | 'mature-media';

/** A tank as it truly is, of another biology than the fitted model's, and what its keeper believes of it. */
export interface World {
  readonly route: StartRoute;
  readonly troubles: ReadonlySet<Trouble>;
  /** Litres written down, and those that are there. */
  readonly believedLitres: number;
  readonly trueLitres: number;
  /** Alkalinity of newly made water, meq/L. */
  readonly freshAlkalinity: number;
  /** mg N a day of the animals it is meant for. */
  readonly plannedLoad: number;
  readonly reader: Reader;
  /** Capacity a further bottle brings, mg N/L/d. */
  readonly bottle: number;
  tank: OtherTank;
  day: number;
}

export interface Reader {
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

/** A tank drawn with its troubles; the same for the same random stream. */
export function drawWorld(random: Random): World {
  const route = oneOf(random, ['salt', 'salt+culture', 'salt+culture', 'mature-media'] as const);
  const troubles = new Set<Trouble>();
  if (chance(random, share.wrong)) troubles.add('wrong-litres');
  if (chance(random, share.poor)) troubles.add('poor-kits');
  if (route === 'salt+culture' && chance(random, share.dead)) troubles.add('dead-culture');
  if (chance(random, share.sour)) troubles.add('low-alkalinity');
  if (chance(random, share.cold)) troubles.add('cold-room');
  if (chance(random, share.skips)) troubles.add('skipped-days');
  const believedLitres = oneOf(random, [60, 120, 200, 350]);
  const off = troubles.has('wrong-litres') ? oneOf(random, [0.7, 1.35]) : around(random, 1, 0.06);
  const bottle = around(random, 0.02, 1.8);
  const living = route === 'salt+culture' && !troubles.has('dead-culture');
  const inoculum =
    route === 'mature-media' ? around(random, 0.4, 1) : living ? bottle : around(random, 2e-4, 1.5);
  const freshAlkalinity = troubles.has('low-alkalinity')
    ? around(random, 1.2, 0.08)
    : around(random, 2.6, 0.06);
  const start = {
    salt: true,
    ammoniaInoculum: inoculum,
    nitriteInoculum: inoculum * around(random, 0.6, 0.9),
    temperatureC: troubles.has('cold-room') ? 20 : 25.2,
  };
  const poor = troubles.has('poor-kits');
  const bias = (): number => random.normal() * (poor ? 0.3 : 0.12);
  return {
    route,
    troubles,
    believedLitres,
    trueLitres: believedLitres * off,
    freshAlkalinity,
    plannedLoad: believedLitres * around(random, 0.1, 0.7),
    reader: {
      blur: poor ? 0.35 : 0.18,
      bias: { ammonia: bias(), nitrite: bias(), nitrate: bias() },
      tint: poor ? around(random, 0.12, 0.5) : around(random, 0.03, 0.5),
      cross: around(random, 0.5, 0.4),
      hand: around(random, 1, 0.08),
    },
    bottle: around(random, 0.02, 1.5),
    tank: { ...otherTank(random, start), alkalinity: freshAlkalinity },
    day: 0,
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

export const readAlkalinity = (world: World, random: Random): number =>
  Math.max(0, Math.round(10 * (world.tank.alkalinity + 0.12 * random.normal())) / 10);

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

/** pH at which exposure is counted. */
const pH = 8.2;
const noConcern = 0.02;

/** Hours with un-ionised ammonia above 0.02 mg/L as N in the weeks after animals of a load (mg N a day) come. */
export function exposureAfter(world: World, load: number, days = 21): number {
  const twin: World = {
    ...world,
    tank: { ...structuredClone(world.tank), load: load / world.trueLitres },
  };
  const { temperatureC } = twin.tank;
  const free = freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity: 35, temperatureC });
  let hours = 0;
  for (let hour = 1; hour <= 24 * days; hour++) {
    liveTo(twin, world.day + hour / 24);
    if (twin.tank.ammonia * free > noConcern) hours++;
  }
  return hours;
}
