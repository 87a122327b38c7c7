/** Mutual information from particles, in nats: how much a reading is expected to tell about a grouping of them. */

/** Particles in groups of like fate; `groups[i]` is the group of particle i. */
export interface Grouping {
  readonly groups: Int32Array;
  readonly count: number;
}

/** Groups of about equal size by value; equal values share a group (Infinity: not within the horizon). */
export function groupByValue(values: Float64Array, count: number): Grouping {
  const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);
  const groups = new Int32Array(values.length);
  let used = 0;
  let previous = Number.NaN;
  for (const [rank, particle] of order.entries()) {
    const value = values[particle]!;
    const wanted = Math.floor((count * rank) / values.length);
    if (rank > 0 && value !== previous && wanted > used) used = wanted;
    groups[particle] = used;
    previous = value;
  }
  return { groups, count };
}

/** Outcome chances of two readings of one particle set taken together; shape (outcomes, particles). */
export function together(a: Float64Array, b: Float64Array, particles: number): Float64Array {
  const [m, n] = [a.length / particles, b.length / particles];
  const joint = new Float64Array(m * n * particles);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < n; j++)
      for (let p = 0; p < particles; p++)
        joint[(i * n + j) * particles + p] = a[i * particles + p]! * b[j * particles + p]!;
  return joint;
}

/**
 * I(outcome; group) = H(outcome) − Σ P(group)·H(outcome | group), each distribution the mean over its particles, less
 * what the same sum gives for groups dealt out at random, which is what few particles seem to tell (never below 0).
 * `outcomes`: shape (outcomes, particles).
 */
export function information(outcomes: Float64Array, grouping: Grouping): number {
  const dealt = [shuffled(grouping, 1), shuffled(grouping, 2)].map((other) => raw(outcomes, other));
  const chance = dealt.reduce((sum, one) => sum + one, 0) / dealt.length;
  return Math.max(0, raw(outcomes, grouping) - chance);
}

function raw(outcomes: Float64Array, { groups, count }: Grouping): number {
  const particles = groups.length;
  const kinds = outcomes.length / particles;
  const sums = new Float64Array(count * kinds);
  const sizes = new Float64Array(count);
  for (let p = 0; p < particles; p++) sizes[groups[p]!] = sizes[groups[p]!]! + 1;
  for (let k = 0; k < kinds; k++)
    for (let p = 0; p < particles; p++) {
      const place = groups[p]! * kinds + k;
      sums[place] = sums[place]! + outcomes[k * particles + p]!;
    }
  let told = 0;
  for (let k = 0; k < kinds; k++) {
    let all = 0;
    for (let g = 0; g < count; g++) all += sums[g * kinds + k]!;
    told -= entropyTerm(all / particles);
    for (let g = 0; g < count; g++)
      if (sizes[g]! > 0) told += (sizes[g]! / particles) * entropyTerm(sums[g * kinds + k]! / sizes[g]!);
  }
  return told;
}

const entropyTerm = (p: number): number => (p > 0 ? p * Math.log(p) : 0);

/** The same sizes of groups, dealt to particles by a fixed stride that shares no factor with their number. */
function shuffled({ groups, count }: Grouping, round: number): Grouping {
  const n = groups.length;
  let stride = Math.floor(n * (round === 1 ? 0.381966 : 0.618034)) | 1;
  while (common(stride, n) !== 1) stride += 2;
  return { groups: groups.map((_, i) => groups[(i * stride + round) % n]!), count };
}

const common = (a: number, b: number): number => (b === 0 ? a : common(b, a % b));
