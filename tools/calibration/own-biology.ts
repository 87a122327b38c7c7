import {
  ended,
  fit as fitProblem,
  follow,
  type Instrument,
  type Model,
  type Observation,
  type Problem,
  prepare,
  readingLogLikelihood,
  stepInterval,
} from '@brinewright/evidence';
import { stream } from './random.ts';
import { chiSquareTail, uniformity } from './scores.ts';

/**
 * Simulation-based calibration (Talts et al. 2018, arXiv:1804.06788): a truth is drawn from the prior, readings are
 * drawn from it, the readings are fitted, and the truth's rank among the posterior draws is noted. Over many truths
 * every rank is as likely if, and only if, prior, likelihood and sampler agree.
 */
export interface RankTest {
  readonly name: string;
  /** Ranks as places in [0, 1). */
  readonly places: readonly number[];
  readonly statistic: number;
  readonly probability: number;
}

const bins = 10;
/** Posterior draws a truth is ranked among: few enough to be nearly independent. */
const kept = 63;

const cards: readonly Extract<Instrument, { form: 'card' }>[] = [
  { form: 'card', analyte: 'ammonia', steps: [0, 0.25, 0.5, 1, 2, 4, 8].map((step) => step * 0.82247) },
  { form: 'card', analyte: 'nitrite', steps: [0, 0.25, 0.5, 1, 2, 5].map((step) => step * 0.30446) },
  { form: 'card', analyte: 'nitrate', steps: [0, 5, 10, 20, 40, 80, 160].map((step) => step * 0.2259) },
];

/** The tank every truth lives in: one dose, bottled culture or none, a redose on day 12, test days every third day. */
export function design(today: number, observations: readonly Observation[], culture = true): Problem {
  return {
    start: 'wild',
    salinity: 35,
    today,
    volumeSpread: 0.1,
    alkalinity: { value: 2.5, sd: 0.2 },
    surroundings: [{ temperatureC: 25.5, pH: 8.1, salinity: 35, oxygenMgL: 6.7 }],
    unsizedAnimals: false,
    deeds: [
      { kind: 'ammonia', day: 0, size: { form: 'known', amount: 2 } },
      ...(culture ? [{ kind: 'culture', day: 0, source: 'bottled' } as const] : []),
      { kind: 'ammonia', day: 12, size: { form: 'known', amount: 1 } },
    ],
    sources: [],
    instruments: cards,
    observations,
  };
}

const placeholder = (day: number, instrument: number): Observation => ({
  day,
  instrument,
  low: 0,
  high: 1,
  shown: 0,
  dilution: 1,
});

/** Draws the step a reader would pick from the model's own chances. */
function draw(model: Model, index: number, observation: Observation, u: number, coin: number): Observation {
  const card = cards[observation.instrument]!;
  const rows = model.rowsOf(index);
  const levels = model.levels(rows[Math.floor(coin * rows.length)]!);
  let cumulative = 0;
  for (const step of card.steps.keys()) {
    const { low, high } = stepInterval(card.steps, step);
    const seen = { ...observation, low, high };
    cumulative += Math.exp(readingLogLikelihood(seen, card, levels, model.eyes(observation.instrument)));
    if (u <= cumulative) return seen;
  }
  return { ...observation, ...stepInterval(card.steps, card.steps.length - 1) };
}

/** A tank of the model's own biology drawn from the prior and followed until a day, and what its keeper read up to another. */
export function drawTruth(
  seed: number,
  today: number,
  { culture = true, until = today }: { readonly culture?: boolean; readonly until?: number } = {},
) {
  const days = Array.from({ length: Math.floor(today / 3) }, (_, i) => 3 * (i + 1));
  const blank = days.flatMap((day) => cards.map((_, instrument) => placeholder(day, instrument)));
  const truth = prepare(design(today, blank, culture), { until });
  const random = stream(seed, 99);
  const scores = new Float64Array(truth.coordinates.length);
  do {
    for (let i = 0; i < scores.length; i++) scores[i] = random.normal();
  } while (!truth.follow(scores));
  // Readings of one instant share the coin: they were all taken before its deeds or all after.
  const coins = new Map(days.map((day) => [day, random.uniform()]));
  const observations = blank.map((one, index) =>
    draw(truth, index, one, random.uniform(), coins.get(one.day) ?? 0.5),
  );
  return { truth, random, scores, observations };
}

/** One truth: where each coordinate and the ready day fall among the posterior draws. */
export function rankOnce(seed: number, today: number, particles: number): Map<string, number> {
  const { truth, random, scores, observations } = drawTruth(seed, today);
  const posterior = ended(fitProblem(design(today, observations), { seed, particles }));
  const size = scores.length;
  const stride = Math.floor(particles / kept);
  const ranks = new Map<string, number>();
  for (const [i, { name }] of truth.coordinates.entries()) {
    let below = 0;
    for (let draw = 0; draw < kept; draw++)
      if (posterior.scores[draw * stride * size + i]! < scores[i]!) below++;
    ranks.set(name, (below + random.uniform()) / (kept + 1));
  }
  ranks.set('ready day', readyRank(posterior, truth, scores, seed, stride));
  return ranks;
}

/** The truth's ready day, its later spells drawn like any other, ranked among the particles'; ties broken evenly. */
function readyRank(
  posterior: ReturnType<typeof fitProblem> extends Generator<unknown, infer P> ? P : never,
  truth: Model,
  scores: Float64Array,
  seed: number,
  stride: number,
): number {
  const horizon = truth.problem.today + 90;
  const ahead = prepare({ ...truth.problem, observations: [] }, { until: horizon });
  const random = stream(seed, 98);
  const longer = new Float64Array(ahead.coordinates.length);
  for (let i = 0; i < longer.length; i++) longer[i] = i < scores.length ? scores[i]! : random.normal();
  ahead.follow(longer);
  const { readyDays } = ended(follow(posterior, horizon));
  const day = ahead.report.readyDay;
  let [below, level] = [0, 0];
  for (let draw = 0; draw < kept; draw++) {
    const other = readyDays[draw * stride]!;
    if (other < day) below++;
    else if (other === day) level++;
  }
  return (below + random.uniform() * (level + 1)) / (kept + 1);
}

/** Rank tests of every coordinate from many truths. */
export function rankTests(ranks: readonly ReadonlyMap<string, number>[]): RankTest[] {
  const names = [...(ranks[0]?.keys() ?? [])];
  return names.map((name) => {
    const places = ranks.map((one) => one.get(name)!);
    const { statistic, freedom } = uniformity(places, bins);
    return { name, places, statistic, probability: chiSquareTail(statistic, freedom) };
  });
}
