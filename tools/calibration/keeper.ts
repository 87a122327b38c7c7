import { foldTank, parseJournal, type TankFacts, type TankId } from '@brinewright/journal';
import { live, type OtherTank, otherTank, stepDays } from './other-biology.ts';
import { around, chance, oneOf, type Random, stream } from './random.ts';

/**
 * A fallible keeper starts a tank of another biology and writes a journal: misjudged litres and doses, a reader with a
 * bias, cards, skipped days, wrong rows. The truth is kept beside it.
 */
export interface Case {
  readonly name: string;
  readonly route: keyof typeof routes;
  readonly facts: TankFacts;
  /** Day the water was truly ready (both below 0.1 mg N/L for a day, 0.5 mg N/L set free), Infinity if never. */
  readonly readyDay: number;
  readonly lastDay: number;
  readonly opened: number;
  /** True levels at the end of each day, mg N/L: row 0 is the opening. */
  readonly water: readonly { readonly ammonia: number; readonly nitrite: number; readonly nitrate: number }[];
}

export const opened = Date.UTC(2026, 0, 5, 9);
export const dayMs = 86_400_000;
/** Cards the keepers read, in the ions they count. */
export const cards = {
  ammonia: { as: 'NH3', factor: 0.82247, steps: [0, 0.25, 0.5, 1, 2, 4, 8] },
  nitrite: { as: 'NO2', factor: 0.30446, steps: [0, 0.25, 0.5, 1, 2, 5] },
  nitrate: { as: 'NO3', factor: 0.2259, steps: [0, 5, 10, 20, 40, 80, 160] },
} as const;
export type Carded = keyof typeof cards;

/** Id of an entry of a virtual tank; entry 1 names the tank. */
export const id = (tank: number, entry: number): string =>
  `0195f000-${tank.toString(16).padStart(4, '0')}-7000-8000-${entry.toString(16).padStart(12, '0')}`;

export interface Reader {
  readonly blur: number;
  readonly bias: Record<Carded, number>;
  readonly tint: number;
  readonly cross: number;
}

/** Step of a card a reader picks for a level in mg N/L. */
export function pick(random: Random, analyte: Carded, level: number, reader: Reader, slips = 0.03): number {
  const { steps, factor } = cards[analyte];
  if (chance(random, slips)) return oneOf(random, steps);
  const offset = steps[1] / 2;
  const seen = Math.log(level / factor + offset) + reader.bias[analyte] + reader.blur * random.normal();
  const distance = steps.map((step) => Math.abs(Math.log(step + offset) - seen));
  return steps[distance.indexOf(Math.min(...distance))]!;
}

/** Routes the cases are drawn from, with the inocula they truly bring (mg N/L/d, median and spread of the logarithm). */
const routes = {
  salt: { inoculum: [2e-4, 1.5], feeds: 'doses' },
  'salt+culture': { inoculum: [0.02, 1.8], feeds: 'doses' },
  organic: { inoculum: [2e-4, 1.5], feeds: 'food' },
  'mature-media': { inoculum: [0.4, 1], feeds: 'doses' },
} as const;

/** Spread of how lively a restless tank's days are: by the week about as much as real records speak for (decision 42). */
export const unrest = 0.5;

/** Day by day how lively a tank is, as a factor: its logarithm wanders about 0 with a spread, and a day forgets a fifth of it. */
function* wandering(random: Random, spread: number): Generator<number, never> {
  for (let log = spread * random.normal(); ; log = 0.8 * log + 0.6 * spread * random.normal())
    yield Math.exp(log);
}

/** One case, the same for the same seed, whose days have a spread of how lively they are. */
export function caseOf(seed: number, restless = 0): Case {
  const random = stream(seed, 17);
  const days = wandering(stream(seed, 19), restless);
  let liveliness = days.next().value;
  const salt = chance(random, 0.7);
  const route = oneOf(random, Object.keys(routes) as (keyof typeof routes)[]);
  const { inoculum, feeds } = routes[route];
  const capacity = around(random, inoculum[0], inoculum[1]);
  const warm = 25 + 1.2 * random.normal();
  const tank = otherTank(random, {
    salt,
    ammoniaInoculum: capacity,
    nitriteInoculum: capacity * around(random, 0.6, 0.9),
    temperatureC: warm,
  });
  const litres = Math.round(around(random, 180, 0.5));
  const trueLitres = litres * around(random, 0.93, 0.09);
  const reader: Reader = {
    blur: around(random, 0.33, 0.25),
    bias: { ammonia: 0.2 * random.normal(), nitrite: 0.2 * random.normal(), nitrate: 0.2 * random.normal() },
    tint: Math.abs(0.07 * random.normal()),
    cross: around(random, 15, 0.8),
  };
  const lines: object[] = [];
  const write = (day: number, kind: string, body: object): void => {
    lines.push({
      id: id(seed, lines.length + 2),
      tank: id(seed, 1),
      at: new Date(opened + day * dayMs).toISOString(),
      kind,
      body,
    });
  };
  write(0, 'tank', {
    name: `Case ${seed}`,
    opened: new Date(opened).toISOString(),
    litres: { value: litres, sd: 0.1 * litres },
    salinity: salt ? 35 : 0,
    temperatureC: Math.round(warm * 2) / 2,
    route,
  });
  for (const [analyte, { as, steps }] of Object.entries(cards))
    write(0, 'kit', { kit: analyte, analyte, as, steps });
  const dose = (day: number, mgNL: number): void => {
    write(day, 'dose', { substance: 'ammonium-chloride', nitrogenMg: Math.round(mgNL * litres) });
    const added = (mgNL * litres * around(random, 1, 0.08)) / trueLitres;
    tank.ammonia += added;
    tank.freed += added;
  };
  if (feeds === 'doses') dose(0, oneOf(random, [1, 2, 2, 3]));
  else {
    const grams = Math.round((2.5 * litres) / 31);
    write(0, 'food', { what: 'fresh-tissue', grams });
    tank.organic += (grams * around(random, 31, 0.15)) / trueLitres;
  }
  if (route === 'salt+culture') write(0, 'culture', { source: 'bottled' });

  const lastDay = 60;
  const every = oneOf(random, [2, 2, 3, 4]);
  const skips = oneOf(random, [0.1, 0.2, 0.4]);
  const level = () => ({ ammonia: tank.ammonia, nitrite: tank.nitrite, nitrate: tank.nitrate });
  const water = [level()];
  let clearFrom = Number.NaN;
  let readyDay = Infinity;
  let lastDose = 0;
  for (let step = 1; step <= lastDay / stepDays; step++) {
    const day = step * stepDays;
    live(tank, day, liveliness);
    if (step % Math.round(1 / stepDays) === 0) {
      water.push(level());
      liveliness = days.next().value;
    }
    const clear = tank.ammonia < 0.1 && tank.nitrite < 0.1 && tank.freed >= 0.5;
    if (!clear) clearFrom = Number.NaN;
    else if (Number.isNaN(clearFrom)) clearFrom = day;
    if (day - clearFrom >= 1 && readyDay === Infinity) readyDay = clearFrom;
    if (step % Math.round(every / stepDays) !== 0 || chance(random, skips)) continue;
    const shown = readAll(random, tank, reader, day, write);
    if (
      feeds === 'doses' &&
      shown.ammonia <= 0.25 &&
      shown.nitrite <= 1 &&
      day - lastDose > 5 &&
      chance(random, 0.5)
    ) {
      dose(day + 0.02, 1);
      lastDose = day;
      clearFrom = Number.NaN;
    }
  }
  const text = [JSON.stringify({ journal: 1 }), ...lines.map((line) => JSON.stringify(line))].join('\n');
  const { entries, problems } = parseJournal(`${text}\n`);
  if (problems.length > 0) throw new Error(`case ${seed} wrote a bad line: ${JSON.stringify(problems[0])}`);
  const facts = foldTank(entries, id(seed, 1) as TankId);
  return {
    name: `${seed} ${salt ? 'salt' : 'fresh'} ${route}`,
    route,
    facts,
    readyDay,
    lastDay,
    opened,
    water,
  };
}

/** Reads the kits a keeper would: nitrate only at times. */
function readAll(
  random: Random,
  tank: OtherTank,
  reader: Reader,
  day: number,
  write: (day: number, kind: string, body: object) => void,
): { ammonia: number; nitrite: number } {
  const levels: Record<Carded, number> = {
    ammonia: tank.ammonia + reader.tint,
    nitrite: tank.nitrite,
    nitrate: tank.nitrate + reader.cross * tank.nitrite,
  };
  const read = (analyte: Carded): number => {
    const value = pick(random, analyte, levels[analyte], reader);
    write(day, 'reading', { analyte, as: cards[analyte].as, kit: analyte, value });
    return value;
  };
  const shown = { ammonia: read('ammonia'), nitrite: read('nitrite') };
  if (chance(random, 0.4)) read('nitrate');
  return shown;
}
