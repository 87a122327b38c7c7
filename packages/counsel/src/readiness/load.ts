import { type Posterior, suppose } from '@brinewright/evidence';
import { segmentFactors } from '@brinewright/nitrogen';
import type { Bearings } from '../orders/bearings.ts';
import { type Band, bandOf, chanceOf, todayOf, valuesOf } from '../orders/particles.ts';

/** mg N/d of the first animals where nobody said: two small fish of about 5 cm, typically fed (data/bioload.csv). */
const usualFirstLoad = 4;
/** A challenge is this many days' load of the first animals at once. */
const loadDays = 3;
/** mg N/L: less a kit cannot resolve, more adds no knowledge and slows the second step. */
export const leastChallenge = 0.5;
const mostChallenge = 2;
/** mg N/L at which a loaded tank should settle at most. */
const settledLevel = 0.1;

export const firstLoadOf = ({ intent }: Bearings): number => intent.firstLoadMgNPerDay ?? usualFirstLoad;

/** Size of the challenge, mg N/L, and whether the first animals are too many for one proof. */
export function challengeSize(bearings: Bearings): { mgNPerLitre: number; tooMany: boolean } {
  const load = bearings.litres ? firstLoadOf(bearings) / bearings.litres.value : 0;
  const wanted = loadDays * load;
  return {
    mgNPerLitre: Math.min(mostChallenge, Math.max(leastChallenge, wanted)),
    tooMany: wanted > mostChallenge,
  };
}

/** mg N/L: ammonia after a day and nitrite after two must both be below this. */
export const passLevel = 0.1;

/**
 * What a challenge poured on a day would leave in every particle: ammonia after a day or nitrite after two, the larger,
 * mg N/L.
 */
export function leftOfChallenge(posterior: Posterior, day: number, mgNPerLitre: number): Float64Array {
  const { ammonia, nitrite, particles } = suppose(posterior, {
    deeds: [{ kind: 'ammonia', day, size: { form: 'known', amount: mgNPerLitre } }],
    days: [day + 1, day + 2],
  });
  return ammonia.slice(0, particles).map((left, i) => Math.max(left, nitrite[particles + i]!));
}

/** Probability that it would be passed. */
export const chanceOfPassing = (posterior: Posterior, day: number, mgNPerLitre: number): number =>
  chanceOf(leftOfChallenge(posterior, day, mgNPerLitre), (left) => left < passLevel);

/**
 * Load a day the tank carries with ammonia and nitrite settled at 0.1 mg N/L, over the particles, in mg N/d (mg N/L/d
 * where the litres are not known): at low levels bacteria work slower than at high ones. `most` bounds it by what was
 * shown to be cleared in a day, mg N/L.
 */
export function carriedLoad(bearings: Bearings, most: number): Band {
  const scale = bearings.litres?.value ?? 1;
  return bandOf(settledRates(bearings).map((rate) => scale * Math.min(most, rate)));
}

/** mg N/L/d that the slower group turns over at 0.1 mg N/L, in every particle. */
function settledRates({ reckoning, situation }: Bearings): Float64Array {
  const { posterior } = reckoning;
  const [factorA, factorN] = segmentFactors(situation.problem.surroundings.at(-1)!);
  const spell = posterior.model.coordinates.findLast(({ name }) => name.startsWith('vigour:'))!.name;
  const vigour = valuesOf(posterior, spell)!;
  const rate = (group: 'A' | 'N', factor: number): Float64Array => {
    const capacity = todayOf(reckoning, `capacity${group}`);
    const awake = todayOf(reckoning, `awake${group}`);
    const half = valuesOf(posterior, `half${group}`)!;
    return capacity.map(
      (value, i) => (factor * vigour[i]! * value * awake[i]! * settledLevel) / (settledLevel + half[i]!),
    );
  };
  const [ammonia, nitrite] = [rate('A', factorA), rate('N', factorN)];
  return ammonia.map((value, i) => Math.min(value, nitrite[i]!));
}
