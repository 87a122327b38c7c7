import { exp, log } from '@brinewright/nitrogen';

/**
 * Standard normal distribution function, absolute error below 1e-15 (Hart 1968, as arranged by West 2005, Wilmott
 * Magazine, May). Check: 0 → 0.5; 1.959963984540054 → 0.975; −8 → 6.22e-16.
 */
export function normalCdf(x: number): number {
  const size = Math.abs(x);
  let tail = 0;
  if (size <= 37) {
    const decay = exp((-size * size) / 2);
    if (size < 7.07106781186547) {
      let above = 3.52624965998911e-2 * size + 0.700383064443688;
      above = above * size + 6.37396220353165;
      above = above * size + 33.912866078383;
      above = above * size + 112.079291497871;
      above = above * size + 221.213596169931;
      above = above * size + 220.206867912376;
      let below = 8.83883476483184e-2 * size + 1.75566716318264;
      below = below * size + 16.064177579207;
      below = below * size + 86.7807322029461;
      below = below * size + 296.564248779674;
      below = below * size + 637.333633378831;
      below = below * size + 793.826512519948;
      below = below * size + 440.413735824752;
      tail = (decay * above) / below;
    } else {
      const fraction = size + 1 / (size + 2 / (size + 3 / (size + 4 / (size + 0.65))));
      tail = decay / fraction / 2.506628274631;
    }
  }
  return x > 0 ? 1 - tail : tail;
}

const halfLogTwoPi = 0.9189385332046727;

/** Logarithm of the normal density. Check: (0, 0, 1) → −0.918939. */
export const normalLogDensity = (x: number, mean: number, sd: number): number => {
  const z = (x - mean) / sd;
  return -0.5 * z * z - log(sd) - halfLogTwoPi;
};
