import fc from 'fast-check';
import {
  type Biology,
  type BiologyName,
  biologyNames,
  compilePlan,
  fineSettings,
  medianBiology,
  newReport,
  type Plan,
  packBiology,
  packState,
  priorOf,
  type RunReport,
  type RunSettings,
  run,
  type Stop,
  type StopKind,
  type Surroundings,
  stateIndex,
  stateWidth,
  valueAt,
} from '../../src/index.ts';

/** Everything one run needs. */
export interface Scenario {
  readonly biology: Float64Array;
  readonly start: Float64Array;
  readonly plan: Plan;
  readonly amounts: Float64Array;
}

export const usualWater: Surroundings = { temperatureC: 25.5, pH: 8.1, salinity: 35, oxygenMgL: 6.7 };

/** A stop and its amounts, before slots are given out. Outputs and segments need none. */
export interface Act {
  readonly day: number;
  readonly kind: StopKind;
  readonly amounts?: readonly number[];
}

/**
 * A scenario from acts in any order: outputs are numbered by day, and come after what else happens on their day.
 * `waters`: surroundings of the segments, in order; the first holds from day 0.
 */
export function scenarioOf(
  biology: Biology,
  start: Parameters<typeof packState>[0],
  acts: readonly Act[],
  waters: readonly Surroundings[] = [usualWater],
): Scenario {
  const amounts: number[] = [];
  let rows = 0;
  let segments = 0;
  const last = (act: Act): number => (act.kind === 'output' ? 1 : 0);
  const stops: Stop[] = [{ day: 0, kind: 'segment' } as const, ...acts]
    .toSorted((a, b) => a.day - b.day || last(a) - last(b))
    .map((act) => {
      const { day, kind } = act;
      if (kind === 'output') return { day, kind, slot: rows++ };
      if (kind === 'segment') return { day, kind, slot: segments++ };
      const slot = amounts.length;
      amounts.push(...('amounts' in act ? (act.amounts ?? []) : []));
      return { day, kind, slot };
    });
  const put = ['ammonia', 'nitrite', 'nitrate', 'food', 'dissolved'] as const;
  const total = put.reduce((sum, name) => sum + (start[name] ?? 0), 0);
  return {
    biology: packBiology(biology),
    start: packState({ alkalinity: 2.3, ...start, put: total }),
    plan: compilePlan(stops, waters),
    amounts: Float64Array.from(amounts.length > 0 ? amounts : [0]),
  };
}

export interface Course {
  readonly report: RunReport;
  readonly rows: Float64Array;
  /** A quantity in a row. */
  at(row: number, name: keyof typeof stateIndex): number;
}

export function runScenario(scenario: Scenario, settings: RunSettings = fineSettings): Course {
  const rows = new Float64Array(scenario.plan.outputs * stateWidth);
  const report = newReport();
  run(scenario.biology, scenario.start, scenario.plan, scenario.amounts, rows, settings, report);
  return { report, rows, at: (row, name) => rows[row * stateWidth + stateIndex[name]]! };
}

/** Output acts from day 0 on, evenly spaced. */
export const everyDay = (until: number, apart = 1): Act[] =>
  Array.from({ length: Math.floor(until / apart) + 1 }, (_, row) => ({ day: row * apart, kind: 'output' }));

const symbols: Readonly<Record<Exclude<BiologyName, 'ceilingN' | 'mineralised'>, string>> = {
  growthA: 'mu_a',
  growthN: 'mu_n',
  halfA: 'K_a',
  halfN: 'K_n',
  selfA: 'Ki_a',
  selfN: 'Ki_n',
  freeAmmoniaN: 'KiFA_n',
  ceilingA: 'C_a',
  lossA: 'b_a',
  lossN: 'b_n',
  wakeA: 'tau_a',
  wakeN: 'tau_n',
  breakUp: 'k_d1',
  ammonify: 'k_d2',
  algae: 'u_alg',
  denitrify: 'k_dn',
  arriving: 'imm',
  halfAlkalinity: 'K_alk',
  attach: 'tau_att',
};

/** The symbols the table of priors has; what it lacks stays at its median. */
const drawn = (Object.entries(symbols) as [BiologyName, string][]).filter(
  ([name]) => name !== 'halfAlkalinity',
);

const score = fc.double({ min: -2.4, max: 2.4, noNaN: true });

const biologies: fc.Arbitrary<Biology> = fc
  .array(score, { minLength: biologyNames.length, maxLength: biologyNames.length })
  .map((scores) => {
    const biology = { ...medianBiology };
    for (const [index, [name, symbol]] of drawn.entries())
      biology[name] = valueAt(priorOf(symbol), scores[index]!);
    biology.ceilingN = 1.2 * biology.ceilingA;
    return biology;
  });

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const days = between(0, 60);

const amountsOf: Readonly<Record<Exclude<StopKind, 'output' | 'segment'>, fc.Arbitrary<number[]>>> = {
  vigour: fc.tuple(between(0.4, 2)),
  load: fc.tuple(between(0, 0.3)),
  ammonia: fc.tuple(between(0, 6)),
  nitrite: fc.tuple(between(0, 3)),
  nitrate: fc.tuple(between(0, 20)),
  organic: fc.tuple(between(0, 4)),
  culture: fc.tuple(
    between(-8, 1).map((x) => Math.exp(x)),
    between(-8, 1).map((x) => Math.exp(x)),
  ),
  exchange: fc.tuple(between(0, 0.95), between(0, 10), between(0.5, 4)),
  alkalinity: fc.tuple(between(0, 2)),
  survival: fc.tuple(between(0, 1)),
};

const acts: fc.Arbitrary<Act> = fc.oneof(
  ...(Object.entries(amountsOf) as [StopKind, fc.Arbitrary<number[]>][]).map(([kind, amounts]) =>
    fc.record({ day: days, kind: fc.constant(kind), amounts }),
  ),
  fc.record({ day: days, kind: fc.constant('segment' as const) }),
);

const waters: fc.Arbitrary<Surroundings> = fc.record({
  temperatureC: between(18, 31),
  pH: between(7.6, 8.5),
  salinity: between(28, 38),
  oxygenMgL: between(4, 8),
});

/** Draws from the priors of the process, with any deeds in any order over 60 days and a state every third day. */
export const scenarios: fc.Arbitrary<Scenario> = fc
  .tuple(
    biologies,
    fc.record({
      ammonia: between(0, 5),
      nitrite: between(0, 1),
      nitrate: between(0, 5),
      food: between(0, 3),
      capacityA: between(-13, 0).map((x) => Math.exp(x)),
      capacityN: between(-13, 0).map((x) => Math.exp(x)),
      alkalinity: between(1, 4),
    }),
    fc.array(acts, { minLength: 2, maxLength: 14 }),
    fc.array(waters, { minLength: 15, maxLength: 15 }),
  )
  .map(([biology, start, some, segments]) =>
    scenarioOf(biology, start, [...some, ...everyDay(60, 3)], segments),
  );

/** Draws from the priors for a plain start-up: a culture and one dose, a water change, 60 days. */
export const startUps: fc.Arbitrary<Scenario> = fc
  .tuple(
    biologies,
    between(-9, 0).map((x) => Math.exp(x)),
    between(1, 4),
  )
  .map(([biology, capacity, dose]) =>
    scenarioOf(biology, { ammonia: 0.03, nitrate: 0.3, food: 0.1, alkalinity: 2.5 }, [
      { day: 0, kind: 'load', amounts: [0.004] },
      { day: 0.2, kind: 'culture', amounts: [capacity, 0.4 * capacity] },
      { day: 0.2, kind: 'ammonia', amounts: [dose] },
      { day: 30, kind: 'exchange', amounts: [0.25, 0.2, 2.5] },
      ...everyDay(60, 3),
    ]),
  );
