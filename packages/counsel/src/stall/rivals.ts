import {
  type Hand,
  logEvidenceOf,
  type Posterior,
  type Problem,
  type Progress,
  prepare,
  shareOut,
} from '@brinewright/evidence';
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

/**
 * Weighs every cause's suppositions against the usual ones, by hands too where there are any. Yields progress; abandon the
 * generator to cancel.
 */
export function* weighRivals(reckoning: Reckoning, hands: readonly Hand[] = []): Generator<Progress, Rivals> {
  const found = known.get(reckoning.posterior) ?? (yield* weighed(reckoning, hands));
  known.set(reckoning.posterior, found);
  return found;
}

/** Something supposed of a tank. */
interface Supposition {
  readonly name: string;
  readonly problem: Problem;
}

/** How well it foretold the readings; with its fit where that is kept. */
interface Weight {
  readonly logEvidence: number;
  readonly fit?: Posterior;
}

/** Name of the usual suppositions, which the others are held against. */
const usually = 'usual';
const nameOf = (cause: string, variant: number): string => `${cause} ${variant}`;

function* weighed(reckoning: Reckoning, hands: readonly Hand[]): Generator<Progress, Rivals> {
  const { problem } = reckoning.situation;
  const rivals = rivalsOf(problem);
  const suppositions = [
    { name: usually, problem: supposing(problem, {}) },
    ...rivals.flatMap(({ cause, variants }) =>
      variants.map((variant, i) => ({ name: nameOf(cause, i), problem: supposing(problem, variant) })),
    ),
  ].filter((one) => !isHopeless(reckoning, one));
  const weights = yield* shareOut(
    suppositions,
    // What is carried on is here, and soon done.
    reckoning.supposed?.size ? [] : hands,
    {
      here: (one) => weigh(reckoning, one),
      there: (hand, one) => weighBy(hand, reckoning, one),
      take: (_, weight) => weight,
    },
    (done) => ({ fraction: done / suppositions.length, said: 'weighing what else it could be' }),
  );
  const ahead = aheadOf(reckoning, suppositions, weights);
  return new Map(
    rivals.map(({ cause, variants }) => {
      const sum = variants.reduce((sum, _, i) => sum + exp(ahead.get(nameOf(cause, i))!), 0);
      return [cause, sum / variants.length];
    }),
  );
}

/** Logarithm of how many times better than the usual each supposition foretold the readings; keeps fits for the next time. */
function aheadOf(
  { supposed }: Reckoning,
  suppositions: readonly Supposition[],
  weights: readonly Weight[],
): Map<string, number> {
  const all = new Map([...(supposed ?? [])].map(([name, { ahead }]) => [name, ahead]));
  const usual = weights[0]!.logEvidence;
  for (const [i, { name }] of suppositions.entries()) {
    const { logEvidence, fit } = weights[i]!;
    const ahead = logEvidence - usual;
    all.set(name, ahead);
    if (fit) supposed?.set(name, { fit, ahead });
  }
  return all;
}

/** A supposition so far behind (a twentieth) is not weighed anew before so many more readings have come. */
const hopeless = log(0.05);
const readingsToReturn = 3;

function isHopeless({ supposed }: Reckoning, { name, problem }: Supposition): boolean {
  const before = supposed?.get(name);
  if (!before || name === usually || before.ahead >= hopeless) return false;
  const known = before.fit.model.problem.observations.length;
  return problem.observations.length - known < readingsToReturn;
}

const settingsFor = ({ posterior }: Reckoning) => ({ seed: posterior.settings.seed, particles });

/** Of a tank followed from evening to evening the fit is kept, and only what is new is taken in. */
function* weigh(reckoning: Reckoning, { name, problem }: Supposition): Generator<Progress, Weight> {
  const settings = settingsFor(reckoning);
  const { supposed } = reckoning;
  if (!supposed) return { logEvidence: yield* logEvidenceOf(problem, settings) };
  const fit = yield* carriedOn(supposed.get(name)?.fit, problem, settings);
  return { logEvidence: fit.logEvidence, fit };
}

async function weighBy(hand: Hand, reckoning: Reckoning, { problem }: Supposition): Promise<Weight> {
  const settings = settingsFor(reckoning);
  if (!reckoning.supposed) return { logEvidence: await hand.ask(problem, { do: 'weigh', settings }) };
  const plain = await hand.ask(problem, { do: 'fit', settings });
  return { logEvidence: plain.logEvidence, fit: { ...plain, model: prepare(problem) } };
}
