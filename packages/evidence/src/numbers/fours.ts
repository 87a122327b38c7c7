/** Particles are kept in fours, the four numbers of a place side by side, as vectors take them. */
export const lanes = 4;

/**
 * Where the first number of a particle stands in a table of so many places a particle; the next is `lanes` further. By bits:
 * a remainder, whose sign an engine has to mind, costs a twentieth of a fit here.
 */
export const startOf = (particle: number, width: number): number =>
  (particle & -lanes) * width + (particle & (lanes - 1));

/** Copies a particle's numbers from one table to a place in another. */
export function copyParticle(
  from: Float32Array,
  particle: number,
  to: Float32Array,
  place: number,
  width: number,
): void {
  let source = startOf(particle, width);
  let target = startOf(place, width);
  for (let i = 0; i < width; i++, source += lanes, target += lanes) to[target] = from[source]!;
}

/** Writes numbers into a particle's places; as many as a place each has. */
export function putParticle(
  numbers: Float64Array,
  first: number,
  table: Float32Array,
  particle: number,
  width: number,
): void {
  let target = startOf(particle, width);
  for (let i = 0; i < width; i++, target += lanes) table[target] = numbers[first + i]!;
}

/** Reads a particle's numbers out. */
export function takeParticle(
  table: Float32Array,
  particle: number,
  numbers: Float64Array,
  first: number,
  width: number,
): void {
  let source = startOf(particle, width);
  for (let i = 0; i < width; i++, source += lanes) numbers[first + i] = table[source]!;
}
