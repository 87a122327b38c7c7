/**
 * The constants of one tank's biology, in the order the kernel reads them from a `Float64Array`.
 * Names and units follow docs/science/nitrogen.md; every rate is at 25 °C in a normal tank (pH 8.1, 6.7 mg/L oxygen).
 */
export const biologyNames = [
  'growthA', // 1/d, most capacity growth of the ammonia oxidisers
  'growthN', // 1/d, of the nitrite oxidisers
  'halfA', // mg N/L, half-saturation for total ammonia
  'halfN', // mg N/L, half-saturation for nitrite
  'selfA', // mg N/L, total ammonia that halves ammonia oxidation
  'selfN', // mg N/L, nitrite that halves nitrite oxidation
  'freeAmmoniaN', // mg NH3-N/L that halves nitrite oxidation
  'ceilingA', // mg N/L/d, capacity at which ammonia oxidisers stop growing
  'ceilingN', // mg N/L/d, the same for nitrite oxidisers
  'lossA', // 1/d, loss of awake capacity
  'lossN', // 1/d
  'wakeA', // d, wake-up time constant
  'wakeN', // d
  'breakUp', // 1/d, food to dissolved organic nitrogen
  'ammonify', // 1/d, dissolved organic nitrogen to ammonia
  'mineralised', // share of decaying food's nitrogen that reaches ammonia
  'algae', // mg N/L/d, uptake by algae and other bacteria
  'denitrify', // 1/d, nitrate loss once anoxic places exist
  'arriving', // mg N/L/d per day, capacity drifting in
  'halfAlkalinity', // meq/L that halves ammonia oxidation
  'attach', // d, time for added capacity to attach
] as const;

export type BiologyName = (typeof biologyNames)[number];
export type Biology = Readonly<Record<BiologyName, number>>;

/** Index of each constant in a packed biology. */
export const biologyIndex = Object.fromEntries(biologyNames.map((name, index) => [name, index])) as Readonly<
  Record<BiologyName, number>
>;

/** Writes a biology in kernel order. */
export const packBiology = (biology: Biology): Float64Array =>
  Float64Array.from(biologyNames, (name) => biology[name]);

/** The medians of the priors for a dosed tank without added culture (data/priors.csv), the starting point of scenarios. */
export const medianBiology: Biology = {
  growthA: 0.5,
  growthN: 0.5,
  halfA: 0.35,
  halfN: 0.35,
  selfA: 60,
  selfN: 80,
  freeAmmoniaN: 1,
  ceilingA: 4.5,
  ceilingN: 5.4,
  lossA: 0.015,
  lossN: 0.015,
  wakeA: 1,
  wakeN: 2,
  breakUp: 0.3,
  ammonify: 0.6,
  mineralised: 0.75,
  algae: 0.01,
  denitrify: 0.004,
  arriving: 3e-8,
  halfAlkalinity: 0.15,
  attach: 4,
};
