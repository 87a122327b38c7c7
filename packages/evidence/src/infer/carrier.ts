import type { Coordinate } from '../model/coordinates.ts';
import type { Random } from '../numbers/random.ts';
import type { Posterior } from './posterior.ts';

/**
 * Writes the scores that a particle of a posterior has in another problem of the same tank, from a place in a table on:
 * an unknown that both have keeps its score, by name; any other is drawn from the prior.
 */
export function carrierOf(
  { model, scores: known }: Posterior,
  coordinates: readonly Coordinate[],
): (particle: number, random: Random, scores: Float64Array, at: number) => void {
  const size = model.coordinates.length;
  const places = new Map(model.coordinates.map(({ name }, place) => [name, place]));
  const from = coordinates.map(({ name }) => places.get(name));
  return (particle, random, scores, at) => {
    for (const [i, place] of from.entries())
      scores[at + i] = place === undefined ? random.normal() : known[particle * size + place]!;
  };
}
