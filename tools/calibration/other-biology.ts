import { around, type Random } from './random.ts';

/**
 * A tank whose biology has another shape than the fitted model's, so that its bands are tried where they must fail
 * if they only hold for their own equations: two strains in each group with their own speed, appetite and lag,
 * uptake through a film in series with the cells, a plateau per strain, a daily swing of temperature, and unrecorded
 * scraps of food. Stepped by Euler at 1/100 d; exact enough beside readings 20 % wide.
 */
export interface Strain {
  readonly growth: number;
  readonly half: number;
  readonly ceiling: number;
  /** d before it begins, and over how many it gets up. */
  readonly delay: number;
  readonly rise: number;
  capacity: number;
}

export interface OtherTank {
  ammonia: number;
  nitrite: number;
  nitrate: number;
  organic: number;
  alkalinity: number;
  /** mg N/L set free so far. */
  freed: number;
  readonly oxidisers: { readonly ammonia: readonly Strain[]; readonly nitrite: readonly Strain[] };
  /** d⁻¹: film transfer in series with uptake. */
  readonly film: number;
  readonly temperatureC: number;
  readonly decay: number;
  /** mg N/L/d of animals, from the day they come. */
  load: number;
  readonly scraps: number;
}

export const stepDays = 0.01;

function strains(random: Random, inoculum: number, salt: boolean): Strain[] {
  const speed = salt ? 0.45 : 0.75;
  return [0, 1].map((kind) => ({
    growth: around(random, speed * (kind === 0 ? 1.15 : 0.75), 0.25),
    half: around(random, kind === 0 ? 0.6 : 0.12, 0.4),
    ceiling: around(random, 2.5, 0.7),
    delay: around(random, 0.8, 0.6),
    rise: around(random, 1.5, 0.6),
    capacity: inoculum * (kind === 0 ? 1 : around(random, 0.5, 1)),
  }));
}

export interface OtherStart {
  readonly salt: boolean;
  /** mg N/L/d of viable capacity at the start, both groups. */
  readonly ammoniaInoculum: number;
  readonly nitriteInoculum: number;
  readonly temperatureC: number;
}

export function otherTank(random: Random, start: OtherStart): OtherTank {
  return {
    ammonia: around(random, 0.02, 0.8),
    nitrite: 0,
    nitrate: around(random, 0.3, 1),
    organic: around(random, 0.05, 1),
    alkalinity: around(random, start.salt ? 2.5 : 2, 0.15),
    freed: 0,
    oxidisers: {
      ammonia: strains(random, start.ammoniaInoculum, start.salt),
      nitrite: strains(random, start.nitriteInoculum, start.salt),
    },
    film: around(random, 12, 0.4),
    temperatureC: start.temperatureC,
    decay: around(random, 0.25, 0.4),
    load: 0,
    scraps: around(random, 0.004, 1),
  };
}

/** mg N/L/d a group takes up at a level: each strain's Monod uptake in series with the film. */
function uptake(
  group: readonly Strain[],
  level: number,
  day: number,
  factor: number,
): { total: number; each: number[] } {
  const wanted = group.map((strain) => {
    const awake = Math.min(1, Math.max(0, (day - strain.delay) / strain.rise));
    return (factor * awake * strain.capacity * level) / (strain.half + level);
  });
  const sum = wanted.reduce((total, rate) => total + rate, 0);
  return { total: sum, each: wanted };
}

/** Uptake and film transfer in series. */
function throughFilm(total: number, level: number, film: number): number {
  return total <= 0 || level <= 0 ? 0 : 1 / (1 / total + 1 / (film * level));
}

/** One step of the tank's life; `liveliness` multiplies all uptake. */
export function live(tank: OtherTank, day: number, liveliness = 1): void {
  const swing = 0.5 * Math.sin(2 * Math.PI * day);
  const warmth = liveliness * 1.065 ** (tank.temperatureC + swing - 25);
  const buffer = tank.alkalinity / (0.2 + tank.alkalinity);
  const h = stepDays;
  const a = uptake(tank.oxidisers.ammonia, tank.ammonia, day, warmth * buffer);
  const n = uptake(tank.oxidisers.nitrite, tank.nitrite, day, warmth / (1 + tank.ammonia / 25));
  const rateA = Math.min(throughFilm(a.total, tank.ammonia, tank.film), tank.ammonia / h);
  const rateN = Math.min(throughFilm(n.total, tank.nitrite, tank.film), tank.nitrite / h);
  const rotted = tank.decay * tank.organic;
  const entering = 0.8 * rotted + tank.load + tank.scraps;
  for (const [group, wanted, rate] of [
    [tank.oxidisers.ammonia, a, rateA],
    [tank.oxidisers.nitrite, n, rateN],
  ] as const)
    group.forEach((strain, kind) => {
      const share = wanted.total > 0 ? wanted.each[kind]! / wanted.total : 0;
      strain.capacity +=
        h * (strain.growth * rate * share * (1 - strain.capacity / strain.ceiling) - 0.01 * strain.capacity);
    });
  tank.organic -= h * rotted;
  tank.freed += h * entering;
  tank.ammonia += h * (entering - rateA);
  tank.nitrite += h * (0.98 * rateA - rateN);
  tank.nitrate += h * rateN;
  tank.alkalinity = Math.max(0, tank.alkalinity - h * 0.14 * rateA);
}
