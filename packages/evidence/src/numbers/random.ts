import { exp, log } from '@brinewright/nitrogen';

/**
 * Seeded random numbers: xoshiro128** (Blackman & Vigna 2021, ACM TOMS 47:36), its state filled by splitmix32.
 * A stream is named by a seed and any number of keys, so that every particle of every round can have its own and
 * the answer does not depend on who computes it in what order.
 */
export interface Random {
  /** Uniform on (0, 1). */
  uniform(): number;
  /** Standard normal (Marsaglia's polar method). */
  normal(): number;
}

/** One step of splitmix32: mixes a 32-bit state into a well-spread 32-bit number. */
function mix(state: number): number {
  let z = (state + 0x9e3779b9) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
  z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
  return (z ^ (z >>> 15)) | 0;
}

const rotate = (x: number, by: number): number => (x << by) | (x >>> (32 - by));

/** The stream of a seed and keys; the same numbers give the same stream everywhere. */
export function stream(seed: number, ...keys: number[]): Random {
  let fill = mix(seed | 0);
  for (const key of keys) fill = mix(fill ^ Math.imul(key | 0, 0x85ebca6b));
  let a = mix(fill);
  let b = mix(a);
  let c = mix(b);
  let d = mix(c) | 1;
  let spare = Number.NaN;

  const next = (): number => {
    const result = Math.imul(rotate(Math.imul(b, 5), 7), 9);
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = rotate(d, 11);
    return result >>> 0;
  };
  const uniform = (): number => (next() + 0.5) / 4294967296;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const scale = Math.sqrt((-2 * log(s)) / s);
      spare = v * scale;
      return u * scale;
    }
  };
  return { uniform, normal };
}

/** Gamma variate of a shape of at least 1/2 and scale 1 (Marsaglia & Tsang 2000). */
export function gamma(random: Random, shape: number): number {
  if (shape < 1) return gamma(random, shape + 1) * exp(log(random.uniform()) / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = random.normal();
    const root = 1 + c * x;
    const v = root * root * root;
    if (v <= 0) continue;
    if (log(random.uniform()) < 0.5 * x * x + d - d * v + d * log(v)) return d * v;
  }
}
