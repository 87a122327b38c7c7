import { logEvidenceOf, type Posterior, type Problem, type Progress } from '@brinewright/evidence';
import { exp, log, lognormal, normal, type Prior, priorOf } from '@brinewright/nitrogen';
import { carriedOn, type Reckoning } from '../course/reckon.ts';

/** How much better than usual suppositions each cause's own foretold the readings: a factor on its odds. */
export type Rivals = ReadonlyMap<string, number>;

/** Particles each supposition is weighed with: enough for a factor of about two. */
const particles = 192;

/** Suppositions of one cause, equally likely beforehand. */
interface Rival {
  readonly cause: string;
  readonly variants: readonly Partial<Problem>[];
}

const say = (beliefs: Readonly<Record<string, Prior>>): Partial<Problem> => ({
  beliefs: Object.entries(beliefs).map(([name, prior]) => ({ name, prior })),
});

/** A prior of a symbol made this many times smaller or larger. */
const times = (symbol: string, factor: number, spread = 0.25): Prior => {
  const prior = priorOf(symbol);
  return { ...prior, centre: prior.centre + log(factor), spread };
};

/** Bacteria too few to be noticed within weeks, mg N/L/d; nitrite oxidisers far behind the others, nobody knows how far. */
const dead = lognormal(1e-6, 1.5);
const slowSecond = lognormal(1e-3, 2);

/** A nitrate kit in which nitrite counts as with zinc. */
const zincKit = lognormal(20, 0.7);

/** What each cause would have of this tank's unknowns (docs/science/stalls.md). */
function rivalsOf(problem: Problem): Rival[] {
  const cultures = new Set(problem.deeds.flatMap((deed) => (deed.kind === 'culture' ? [deed.source] : [])));
  const poured = cultures.has('bottled') || cultures.has('unknown');
  const media = cultures.has('mature');
  const doses = problem.deeds.some(({ kind }) => kind === 'ammonia');
  const ratios = {
    ratio: slowSecond,
    ...(poured && { cultureRatio: slowSecond }),
    ...(media && { mediaRatio: slowSecond }),
  };
  const cards = [...problem.instruments.keys()].filter((i) => problem.instruments[i]!.form !== 'meter');
  const halted = { growthA: times('mu_a', 0.25), growthN: times('mu_n', 0.25) };
  const wrongKit = Object.fromEntries(cards.map((i) => [`bias:${i}`, normal(0, 0.8)]));
  return [
    {
      cause: 'STL-DEAD',
      variants: [say({ inoculum: dead, ...(poured && { culture: dead }), ...(media && { media: dead }) })],
    },
    {
      cause: 'STL-VOL',
      variants: doses
        ? [say({ dose: lognormal(0.58, 0.15) }), say({ dose: lognormal(1.7, 0.15) })]
        : [say({ volume: lognormal(0.62, 0.15) }), say({ volume: lognormal(1.6, 0.15) })],
    },
    { cause: 'STL-KIT', variants: [say({ tint: lognormal(0.35, 0.35) }), say(wrongKit)] },
    { cause: 'STL-ALK', variants: [say({ alkalinity0: normal(0.9, 0.25) })] },
    ...(warm(problem) ? [{ cause: 'STL-COLD', variants: [{ surroundings: cooled(problem, 7) }] }] : []),
    {
      cause: 'STL-TAN',
      variants: [
        say({ selfA: lognormal(3, 0.3) }),
        say({ selfA: lognormal(8, 0.4), freeAmmoniaN: lognormal(0.15, 0.5) }),
      ],
    },
    { cause: 'STL-NO2', variants: [say(ratios)] },
    { cause: 'STL-PO4', variants: [say({ growthN: times('mu_n', 0.35), growthA: times('mu_a', 0.7) })] },
    { cause: 'poison', variants: [say(halted), say({ ...halted, ammonia0: lognormal(0.4, 0.4) })] },
    { cause: 'STL-INT', variants: [say({ cross: zincKit })] },
    { cause: 'STL-SRC', variants: [say({ hidden: lognormal(0.12, 0.5) })] },
    { cause: 'STL-LIGHT', variants: [say({ algae: lognormal(0.25, 0.5) })] },
  ];
}

/** Where the cold is known, the usual suppositions already reckon with it. */
const warm = ({ surroundings }: Problem): boolean => (surroundings.at(-1)?.temperatureC ?? 25) >= 22;

const cooled = (problem: Problem, by: number): Problem['surroundings'] =>
  problem.surroundings.map((one) => ({ ...one, temperatureC: Math.max(5, one.temperatureC - by) }));

/** A problem with something supposed; what is believed of other unknowns stays. */
function supposing(problem: Problem, supposed: Partial<Problem>): Problem {
  const named = new Set(supposed.beliefs?.map(({ name }) => name));
  const kept = (problem.beliefs ?? []).filter(({ name }) => !named.has(name));
  return { ...problem, ...supposed, beliefs: [...kept, ...(supposed.beliefs ?? [])] };
}

/** The orders and whoever asks why want the same: once a fit is enough. */
const known = new WeakMap<Posterior, Rivals>();

/** Weighs every cause's suppositions against the usual ones. Yields progress; abandon the generator to cancel. */
export function* weighRivals(reckoning: Reckoning): Generator<Progress, Rivals> {
  const found = known.get(reckoning.posterior) ?? (yield* weighed(reckoning));
  known.set(reckoning.posterior, found);
  return found;
}

function* weighed(reckoning: Reckoning): Generator<Progress, Rivals> {
  const { problem } = reckoning.situation;
  const rivals = rivalsOf(problem);
  const fits = rivals.reduce((sum, { variants }) => sum + variants.length, 1);
  let done = 0;
  const found = new Map<string, number>();
  function* ahead(name: string, supposed: Partial<Problem>, usual = 0): Generator<Progress, number> {
    const steps = weigh(reckoning, name, supposing(problem, supposed), usual);
    for (;;) {
      const step = steps.next();
      if (step.done) {
        done++;
        return step.value;
      }
      yield { fraction: (done + step.value.fraction) / fits, said: 'weighing what else it could be' };
    }
  }
  const usual = yield* ahead(usually, {});
  for (const { cause, variants } of rivals) {
    let sum = 0;
    for (const [index, variant] of variants.entries())
      sum += exp(yield* ahead(`${cause} ${index}`, variant, usual));
    found.set(cause, sum / variants.length);
  }
  return found;
}

/** Name of the usual suppositions, which the others are held against. */
const usually = 'usual';
/** A supposition so far behind (a twentieth) is not weighed anew before so many more readings have come. */
const hopeless = log(0.05);
const readingsToReturn = 3;

/**
 * Logarithm of the likelihood of the readings under a supposition, less `usual`. Of a tank followed from evening to evening
 * the fit is kept, and only what is new is taken in.
 */
function* weigh(
  { posterior, supposed }: Reckoning,
  name: string,
  problem: Problem,
  usual: number,
): Generator<Progress, number> {
  const settings = { seed: posterior.settings.seed, particles };
  if (!supposed) return (yield* logEvidenceOf(problem, settings)) - usual;
  const before = supposed.get(name);
  if (before && before.ahead < hopeless && name !== usually && newTo(before.fit, problem) < readingsToReturn)
    return before.ahead;
  const fit = yield* carriedOn(before?.fit, problem, settings);
  const ahead = fit.logEvidence - usual;
  supposed.set(name, { fit, ahead });
  return ahead;
}

const newTo = ({ model }: Posterior, { observations }: Problem): number =>
  observations.length - model.problem.observations.length;
