/** A straight mapping from values to pixels, with its inverse. */
export interface Scale {
  (value: number): number;
  readonly invert: (pixel: number) => number;
  readonly domain: readonly [number, number];
  readonly range: readonly [number, number];
}

export function linear(domain: readonly [number, number], range: readonly [number, number]): Scale {
  const [d0, d1] = domain;
  const [r0, r1] = range;
  const slope = (r1 - r0) / (d1 - d0 || 1);
  const scale = (value: number) => r0 + (value - d0) * slope;
  return Object.assign(scale, { invert: (pixel: number) => d0 + (pixel - r0) / slope, domain, range });
}
