import { exp, log } from '@brinewright/nitrogen';

/** One step of splitmix32: mixes a 32-bit state into a well-spread 32-bit number. */
function mix(state: number): number {
  let z = (state + 0x9e3779b9) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
  z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
  return (z ^ (z >>> 15)) | 0;
}

const rotate = (x: number, by: number): number => (x << by) | (x >>> (32 - by));

/**
 * Seeded random numbers: xoshiro128** (Blackman & Vigna 2021, ACM TOMS 47:36), its state filled by splitmix32.
 * A stream is named by a seed and any number of keys, so that every particle of every round can have its own and
 * the answer does not depend on who computes it in what order. One object can be set to one stream after another.
 */
export class Random {
  private readonly state = new Int32Array(4);
  private spare = Number.NaN;

  /** Goes to the beginning of the stream of a seed and two keys. */
  restart(seed: number, key: number, another: number): void {
    this.fill(keyed(wordOf(seed, key), another));
  }

  /** Fills the state from a word. */
  fill(word: number): void {
    let next = word;
    for (let i = 0; i < 4; i++) {
      next = mix(next);
      this.state[i] = next;
    }
    this.state[3] = next | 1;
    this.spare = Number.NaN;
  }

  /** Uniform on (0, 1). */
  uniform(): number {
    const { state } = this;
    const a = state[0]!;
    const b = state[1]!;
    const c = state[2]! ^ a;
    const d = state[3]! ^ b;
    state[0] = a ^ d;
    state[1] = b ^ c;
    state[2] = c ^ (b << 9);
    state[3] = rotate(d, 11);
    const result = Math.imul(rotate(Math.imul(b, 5), 7), 9) >>> 0;
    return (result + 0.5) / 4294967296;
  }

  /** Standard normal (Marsaglia's polar method). */
  normal(): number {
    const kept = this.spare;
    if (!Number.isNaN(kept)) {
      this.spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * this.uniform() - 1;
      const v = 2 * this.uniform() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const scale = Math.sqrt((-2 * log(s)) / s);
      this.spare = v * scale;
      return u * scale;
    }
  }
}

/** A word that names a stream, from a word and a further key. */
export const keyed = (word: number, key: number): number => mix(word ^ Math.imul(key | 0, 0x85ebca6b));

/** The word of a seed and a key. */
export const wordOf = (seed: number, key: number): number => keyed(mix(seed | 0), key);

/** The stream of a seed and keys; the same numbers give the same stream everywhere. */
export function stream(seed: number, ...keys: number[]): Random {
  const random = new Random();
  random.fill(keys.reduce(keyed, mix(seed | 0)));
  return random;
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
