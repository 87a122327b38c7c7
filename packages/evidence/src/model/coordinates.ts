import { biologyIndex, lognormal, normal, type Prior, priorOf, valueAt } from '@brinewright/nitrogen';
import type { Belief, Problem, Start } from '../problem.ts';

/** One thing that is not known: a name and the prior its standard normal score is turned through. */
export interface Coordinate {
  readonly name: string;
  readonly prior: Prior;
}

/** Days over which the tank's unexplained ups and downs are taken as one. */
export const spellDays = 7;

/** Below this salinity nitrifiers of fresh water are at work, and faster (Nijhof & Bovendeur 1990). */
const freshBelow = 5;

/**
 * How much faster than the table's medians both groups are taken to grow, as a logarithm: published marine starts and whole
 * records come in earlier than the table foretells (docs/decisions/0031).
 */
const recentred = 0.1;

/**
 * Share of the spreads of the table by which tanks are taken to differ: what was published is of species, methods and
 * laboratories as well, and starts differ less than it foretells (docs/decisions/0042).
 */
const ofTheTable = 0.8;

const narrowed = (prior: Prior): Prior => ({ ...prior, spread: ofTheTable * prior.spread });

/** What the table says of the bacteria of a start, as far as tanks differ in it. */
const startPrior = (symbol: string): Prior => narrowed(priorOf(symbol));

/** Spread of the logarithm of how fast everything went in one spell: what no ordinary differential equation explains. */
const vigourSpread = 0.3;

/** Spread of the logarithm of the unrecorded input from spell to spell. */
const hiddenSpread = 1;

/**
 * How many times nitrite counts in a nitrate kit, whatever it reduces with: cadmium lets it count about once, zinc
 * seventeen times (the table's k_NO2inNO3; docs/decisions/0036).
 */
const anyNitrateKit = lognormal(4, 1.5);

const inocula: Record<Start, { capacity: Prior; ratio: Prior }> = {
  wild: { capacity: startPrior('Q0a_b'), ratio: startPrior('rn_wild') },
  mature: { capacity: startPrior('Q0a_d'), ratio: startPrior('rn_mature') },
  animals: { capacity: narrowed(lognormal(6e-4, 2.4)), ratio: startPrior('rn_wild') },
  unknown: { capacity: narrowed(lognormal(1e-3, 2.7)), ratio: startPrior('rn_wild') },
};

/** mg N/L of organic matter nobody wrote down (die-off, dust, leaching substrate): wide where rock or soil came in. */
const hiddenOrganic: Record<Start, Prior> = {
  wild: lognormal(0.05, 1.3),
  mature: lognormal(0.15, 1.7),
  animals: lognormal(0.05, 1.3),
  unknown: lognormal(0.15, 1.7),
};

/** mg N/L/d that goes on entering unrecorded. */
const hiddenLoad: Record<Start, Prior> = {
  wild: lognormal(0.004, 1),
  mature: lognormal(0.01, 1.3),
  animals: lognormal(0.01, 1.3),
  unknown: lognormal(0.01, 1.3),
};

function biologyCoordinates(problem: Problem): Coordinate[] {
  const faster = problem.salinity < freshBelow ? 0.5 : 0;
  const growth = (symbol: string): Prior => {
    const prior = startPrior(symbol);
    return { ...prior, centre: prior.centre + recentred + faster };
  };
  const mature = problem.start === 'mature';
  return [
    { name: 'growthA', prior: growth('mu_a') },
    { name: 'growthN', prior: growth('mu_n') },
    { name: 'halfA', prior: startPrior('K_a') },
    { name: 'halfN', prior: startPrior('K_n') },
    { name: 'freeAmmoniaN', prior: priorOf('KiFA_n') },
    { name: 'ceilingA', prior: startPrior('C_a') },
    { name: 'wakeA', prior: startPrior(mature ? 'tau_a_d' : 'tau_a') },
    { name: 'wakeN', prior: startPrior(mature ? 'tau_n_d' : 'tau_n') },
    { name: 'breakUp', prior: priorOf('k_d1') },
    { name: 'ammonify', prior: priorOf('k_d2') },
  ];
}

function inoculumCoordinates(problem: Problem): Coordinate[] {
  const { capacity, ratio } = inocula[problem.start];
  const found: Coordinate[] = [
    { name: 'inoculum', prior: capacity },
    { name: 'ratio', prior: ratio },
  ];
  const cultures = new Set(problem.deeds.flatMap((deed) => (deed.kind === 'culture' ? [deed.source] : [])));
  if (cultures.has('bottled') || cultures.has('unknown'))
    found.push(
      { name: 'culture', prior: startPrior('Q0a_a') },
      { name: 'cultureRatio', prior: startPrior('rn_culture') },
    );
  if (cultures.has('mature'))
    found.push(
      { name: 'media', prior: startPrior('Q0a_d') },
      { name: 'mediaRatio', prior: startPrior('rn_mature') },
    );
  return found;
}

function waterCoordinates(problem: Problem): Coordinate[] {
  const found: Coordinate[] = [
    { name: 'volume', prior: lognormal(1, problem.volumeSpread) },
    { name: 'ammonia0', prior: lognormal(0.03, 1) },
    { name: 'nitrite0', prior: lognormal(problem.start === 'wild' ? 0.003 : 0.01, 1.2) },
    { name: 'nitrate0', prior: lognormal(0.25, 1.4) },
    { name: 'alkalinity0', prior: normal(problem.alkalinity.value, problem.alkalinity.sd) },
    { name: 'organic0', prior: hiddenOrganic[problem.start] },
    { name: 'hidden', prior: hiddenLoad[problem.start] },
  ];
  for (const source of problem.sources)
    found.push({ name: `source:${source.name}`, prior: lognormal(source.median, source.spread) });
  if (problem.unsizedAnimals) found.push({ name: 'animals', prior: lognormal(0.08, 0.7) });
  if (problem.deeds.some((deed) => deed.kind === 'load'))
    found.push({ name: 'load', prior: lognormal(1, 0.5) });
  if (problem.deeds.some((deed) => deed.kind === 'ammonia'))
    found.push({ name: 'dose', prior: lognormal(1, 0.15) });
  if (problem.deeds.some((deed) => deed.kind === 'exchange' && deed.fraction === null))
    found.push({ name: 'exchange', prior: { shape: 'logit-normal', centre: -1.1, spread: 0.7 } });
  return found;
}

function kitCoordinates(problem: Problem): Coordinate[] {
  const found: Coordinate[] = [
    { name: 'blur', prior: priorOf('sigma_g') },
    // Stands in for the table's half-normal of spread 0.10, whose scores would have two mirror modes.
    { name: 'tint', prior: lognormal(0.06, 0.9) },
    { name: 'cross', prior: anyNitrateKit },
  ];
  for (const index of problem.instruments.keys())
    found.push({ name: `bias:${index}`, prior: priorOf('beta_kit') });
  return found;
}

/** Number of spells from day 0 up to and including a day. */
export const spellsUntil = (day: number): number => Math.floor(Math.max(0, day) / spellDays) + 1;

/** The coordinates with what is believed of some put in place; a belief about a constant not listed adds it. */
function believing(usual: readonly Coordinate[], beliefs: readonly Belief[]): Coordinate[] {
  const of = new Map(beliefs.map(({ name, prior }) => [name, prior]));
  const listed = new Set(usual.map(({ name }) => name));
  const more = beliefs.filter(({ name }) => !listed.has(name) && !name.includes(':'));
  for (const { name } of more)
    if (!(name in biologyIndex)) throw new RangeError(`nothing in this problem is called "${name}"`);
  return [...usual.map(({ name, prior }) => ({ name, prior: of.get(name) ?? prior })), ...more];
}

/** Everything uncertain about a problem, with the spells up to a day last so that a longer reach only appends. */
export function coordinatesOf(problem: Problem, until: number): Coordinate[] {
  const spells = Array.from({ length: spellsUntil(until) }, (_, spell): Coordinate[] => [
    { name: `vigour:${spell}`, prior: lognormal(1, vigourSpread) },
    { name: `hidden:${spell}`, prior: lognormal(1, hiddenSpread) },
  ]);
  const usual = [
    ...biologyCoordinates(problem),
    ...inoculumCoordinates(problem),
    ...waterCoordinates(problem),
    ...kitCoordinates(problem),
  ];
  return [...believing(usual, problem.beliefs ?? []), ...spells.flat()];
}

/** Turns scores into values: `values[i]` in the unit of coordinate i. */
export function valuesAt(
  coordinates: readonly Coordinate[],
  scores: Float64Array,
  values: Float64Array,
): void {
  for (let i = 0; i < coordinates.length; i++) values[i] = valueAt(coordinates[i]!.prior, scores[i]!);
}

/** Looks coordinates up by name. @throws RangeError for a name the problem does not have. */
export function finder(coordinates: readonly Coordinate[]): (name: string) => number {
  const places = new Map(coordinates.map((coordinate, index) => [coordinate.name, index]));
  return (name) => {
    const place = places.get(name);
    if (place === undefined) throw new RangeError(`this problem has no coordinate "${name}"`);
    return place;
  };
}
