import {
  type Biology,
  biologyNames,
  compilePlan,
  medianBiology,
  newReport,
  type Plan,
  packBiology,
  packState,
  priorOf,
  run,
  type Stop,
  stateIndex,
  stateWidth,
  valueAt,
} from '@brinewright/nitrogen';

/** Start-ups drawn from the priors, all through one plan: what a particle of a fit is like. */
export interface Tanks {
  readonly plan: Plan;
  readonly count: number;
  readonly width: number;
  /** Shapes (count, 21), (count, 15) and (count, width). */
  readonly biology: Float64Array;
  readonly start: Float64Array;
  readonly amounts: Float64Array;
}

/** Uniform numbers of a linear congruential generator, and normal ones by Box and Muller: enough for a benchmark. */
export function randomOf(seed: number): { uniform(): number; normal(): number } {
  let state = seed;
  const uniform = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
    return ((state >>> 0) + 0.5) / 4_294_967_296;
  };
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}

const drawn: readonly (readonly [keyof Biology, string])[] = [
  ['growthA', 'mu_a'],
  ['growthN', 'mu_n'],
  ['halfA', 'K_a'],
  ['halfN', 'K_n'],
  ['freeAmmoniaN', 'KiFA_n'],
  ['ceilingA', 'C_a'],
  ['wakeA', 'tau_a'],
  ['wakeN', 'tau_n'],
  ['breakUp', 'k_d1'],
  ['ammonify', 'k_d2'],
];

/** Four doses, a culture and two water changes; the state every third day. Amount slots: load 0, dose 1, change 2, culture 5. */
function planOf(days: number): Plan {
  const doses = [0.1, 12, 24, 36].filter((day) => day < days);
  const changes = [20, 40].filter((day) => day < days);
  const outputs = Array.from({ length: Math.floor(days / 3) }, (_, row) => 3 * (row + 1));
  const stops: Stop[] = [
    { day: 0, kind: 'segment', slot: 0 },
    { day: 0, kind: 'load', slot: 0 },
    { day: 0.1, kind: 'culture', slot: 5 },
    ...doses.map((day): Stop => ({ day, kind: 'ammonia', slot: 1 })),
    ...changes.map((day): Stop => ({ day, kind: 'exchange', slot: 2 })),
    ...outputs.map((day, row): Stop => ({ day, kind: 'output', slot: row })),
  ];
  return compilePlan(
    stops.sort((a, b) => a.day - b.day),
    [{ temperatureC: 25.5, pH: 8.1, salinity: 35, oxygenMgL: 6.7 }],
  );
}

export function drawTanks(count: number, days: number, seed = 12_345): Tanks {
  const random = randomOf(seed);
  const width = 7;
  const tanks = {
    plan: planOf(days),
    count,
    width,
    biology: new Float64Array(count * biologyNames.length),
    start: new Float64Array(count * stateWidth),
    amounts: new Float64Array(count * width),
  };
  const draw = (symbol: string): number => valueAt(priorOf(symbol), random.normal());
  for (let i = 0; i < count; i++) {
    const biology = { ...medianBiology };
    for (const [name, symbol] of drawn) biology[name] = draw(symbol);
    biology.ceilingN = 1.2 * biology.ceilingA;
    tanks.biology.set(packBiology(biology), i * biologyNames.length);
    const wild = draw('Q0a_b');
    const levels = { ammonia: 0.03, nitrite: 0.01, nitrate: 0.25, food: 0.05, alkalinity: 2.5, put: 0.34 };
    const capacities = { capacityA: wild, capacityN: wild * draw('rn_wild') };
    tanks.start.set(packState({ ...levels, ...capacities }), i * stateWidth);
    const culture = draw('Q0a_a');
    tanks.amounts.set([0.005, 2, 0.3, 0.5, 2.5, culture, culture * draw('rn_culture')], i * width);
  }
  return tanks;
}

/** One tank's part of a table. */
export const rowOf = (table: Float64Array, count: number, index: number): Float64Array => {
  const size = table.length / count;
  return table.subarray(index * size, (index + 1) * size);
};

/** States by the plain kernel at a tolerance no other comes near: what errors are measured against. */
export function referenceStates({ plan, count, biology, start, amounts }: Tanks): Float64Array {
  const states = new Float64Array(count * plan.outputs * stateWidth);
  const settings = { tolerance: 1e-11, mostEvaluations: 1e9 };
  const report = newReport();
  for (let i = 0; i < count; i++)
    run(
      rowOf(biology, count, i),
      rowOf(start, count, i),
      plan,
      rowOf(amounts, count, i),
      rowOf(states, count, i),
      settings,
      report,
    );
  return states;
}

/**
 * 95th percentile over tanks of the largest error of ammonia, nitrite and nitrate over the output days, relative to
 * the level plus 0.05 mg N/L. `states` may hold the first of the tanks only.
 */
export function errorOf(states: Float64Array, reference: Float64Array, count: number, total: number): number {
  const size = reference.length / total;
  const errors = Array.from({ length: count }, (_, tank) => {
    let worst = 0;
    for (let from = tank * size; from < (tank + 1) * size; from += stateWidth)
      for (const name of ['ammonia', 'nitrite', 'nitrate'] as const) {
        const exact = reference[from + stateIndex[name]]!;
        worst = Math.max(
          worst,
          Math.abs(states[from + stateIndex[name]]! - exact) / (Math.abs(exact) + 0.05),
        );
      }
    return worst;
  }).sort((a, b) => a - b);
  return errors[Math.floor(0.95 * count)]!;
}
