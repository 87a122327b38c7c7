/** One row of a run's output: the state of the water and the books of its nitrogen. */
export const stateNames = [
  'ammonia', // mg N/L, total ammonia
  'nitrite', // mg N/L
  'nitrate', // mg N/L
  'food', // mg N/L, organic nitrogen still intact
  'dissolved', // mg N/L, dissolved organic nitrogen
  'capacityA', // mg N/L/d at 25 °C, ammonia oxidisers
  'capacityN', // mg N/L/d, nitrite oxidisers
  'awakeA', // 0–1
  'awakeN', // 0–1
  'alkalinity', // meq/L
  'bound', // mg N/L, gone into bacteria and flocs since the start
  'lost', // mg N/L, gone to algae and gas since the start
  'removed', // mg N/L, taken out with changed water since the start
  'put', // mg N/L put in since the start, food included
  'freed', // mg N/L that became ammonia, nitrite or nitrate since the start, by dose, decay or load
] as const;

export type StateName = (typeof stateNames)[number];

/** Index of each quantity in a row. */
export const stateIndex = Object.fromEntries(stateNames.map((name, index) => [name, index])) as Readonly<
  Record<StateName, number>
>;

export const stateWidth = stateNames.length;

/** A state from the quantities that are not zero. */
export const packState = (levels: Partial<Readonly<Record<StateName, number>>>): Float64Array =>
  Float64Array.from(stateNames, (name) => levels[name] ?? 0);
