import {
  type Entry,
  foldTank,
  instantText,
  newEntryId,
  newTankId,
  type Route,
  type Surface,
  type TankFacts,
} from '@brinewright/journal';

/** The tank a start is planned for. */
export interface PlannedTank {
  readonly litres: number;
  /** Standard error of the litres; a tenth where not said. */
  readonly litresSd?: number;
  readonly temperatureC?: number;
  readonly salinity?: number;
  readonly pH?: number;
  readonly surfaces?: readonly Surface[];
  /** mg N a day of the animals it is meant for; two small fish where not said. */
  readonly firstLoadMgNPerDay?: number;
}

/** One way to start: what is done on the first day, and what to know before choosing it. */
export interface RoutePlan {
  readonly route: Route;
  readonly title: string;
  /** What is done, in a sentence. */
  readonly done: string;
  /** Animals live in water that is not ready. */
  readonly usesAnimals: boolean;
  readonly worry: string;
  readonly entries: (tank: PlannedTank) => readonly (readonly [kind: string, body: object])[];
}

const doseMgNL = 2;
const usualLoad = 4;
/** mg N a day of an animal of no particular class (arrivals/bioload.ts). */
const perFish = 2;
/** Food that sets free 2 mg N/L: V·C/(160·protein·0.7), dry food of 44 % protein (R-RTE-6). */
const foodGrams = (litres: number): number => (litres * doseMgNL) / (160 * 0.44 * 0.7);

const dose = ({ litres }: PlannedTank) =>
  ['dose', { substance: 'ammonium-chloride', nitrogenMg: doseMgNL * litres }] as const;
const culture = ['culture', { source: 'bottled' }] as const;
const animals = ({ firstLoadMgNPerDay = usualLoad }: PlannedTank) =>
  [
    'arrival',
    { animals: [{ class: 'fish', count: Math.max(1, Math.round(firstLoadMgNPerDay / perFish)) }] },
  ] as const;

/** Every route, in the order of the journal's words. */
export const routePlans: readonly RoutePlan[] = [
  {
    route: 'mature-media',
    title: 'media from a running tank',
    done: 'bring wet media from a healthy tank within two hours, feed 2 mg/L of ammonia',
    usesAnimals: false,
    worry: 'pests, parasites and copper travel with the media; know where they come from',
    entries: (tank) => [dose(tank), ['culture', { source: 'mature-media' }]],
  },
  {
    route: 'salt+culture',
    title: 'ammonia and a live culture',
    done: 'feed 2 mg/L of ammonia and add a bottled live culture',
    usesAnimals: false,
    worry: 'a bottle may be dead; then it takes as long as without',
    entries: (tank) => [dose(tank), culture],
  },
  {
    route: 'salt',
    title: 'ammonia alone',
    done: 'feed 2 mg/L of ammonia and wait for what drifts in',
    usesAnimals: false,
    worry: 'it takes patience',
    entries: (tank) => [dose(tank)],
  },
  {
    route: 'organic',
    title: 'decaying food',
    done: 'leave weighed food in a mesh bag to decay',
    usesAnimals: false,
    worry:
      'the dose is unknown, its tail long, and it must end with a measured challenge; smell and cloudy water',
    entries: (tank) => [['food', { what: 'flake', grams: foodGrams(tank.litres) }]],
  },
  {
    route: 'animals+culture',
    title: 'animals and a live culture',
    done: 'add animals at once with a bottled live culture',
    usesAnimals: true,
    worry: 'animals bear the start; only where they are already there',
    entries: (tank) => [animals(tank), culture],
  },
  {
    route: 'animals',
    title: 'animals alone',
    done: 'add animals at once',
    usesAnimals: true,
    worry: 'animals bear the whole start; only where they are already there',
    entries: (tank) => [animals(tank)],
  },
];

const openedMs = Date.UTC(2025, 0, 1, 12);

/** A minute after the opening: everything of day 0 is done. */
export const plannedAsOf = openedMs + 60_000;

/** The facts of a tank on the day such a start would begin. */
export function plannedFacts(plan: RoutePlan, tank: PlannedTank): TankFacts {
  const { litres, litresSd = 0.1 * litres, temperatureC = 25, salinity = 35, pH = 8.1, surfaces = [] } = tank;
  const id = newTankId(openedMs, bytes(0));
  const body = {
    litres: { value: litres, sd: litresSd },
    temperatureC,
    salinity,
    pH,
    surfaces,
    route: plan.route,
    opened: instantText(openedMs),
  };
  const list = [['tank', body] as const, ...plan.entries(tank)];
  const entries = list.map(
    ([kind, content], index): Entry => ({
      id: newEntryId(openedMs, bytes(index + 1)),
      tank: id,
      at: instantText(openedMs),
      kind,
      body: { ...content },
    }),
  );
  return foldTank(entries, id);
}

const bytes = (number: number): Uint8Array =>
  Uint8Array.from({ length: 10 }, (_, i) => (i === 9 ? number : 0));
