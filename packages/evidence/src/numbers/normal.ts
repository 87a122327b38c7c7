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

/** As fine as single precision can tell numbers from 0 and from 1. */
const coarse = 2 ** 23;

/**
 * Standard normal variate of a uniform one, taken as of 23 bits, by the inverse distribution function (Giles, Approximating
 * the erfinv function, GPU Computing Gems 2, 2011, the table of single precision); error below 1e-6. What wasm/random.ts does
 * in vectors, where no lane can wait for another that draws again. Check: 0.975 → 1.95996.
 */
export function normalOf(uniform: number): number {
  const u = (Math.floor(uniform * coarse) + 0.5) / coarse;
  const w = -log(4 * u * (1 - u));
  return Math.SQRT2 * (w < 5 ? nearMiddle(w - 2.5) : inTails(Math.sqrt(w) - 3)) * (2 * u - 1);
}

function nearMiddle(w: number): number {
  let sum = 2.81022636e-8;
  sum = sum * w + 3.43273939e-7;
  sum = sum * w - 3.5233877e-6;
  sum = sum * w - 4.39150654e-6;
  sum = sum * w + 2.1858087e-4;
  sum = sum * w - 1.25372503e-3;
  sum = sum * w - 4.17768164e-3;
  sum = sum * w + 0.246640727;
  sum = sum * w + 1.50140941;
  return sum;
}
function inTails(w: number): number {
  let sum = -2.00214257e-4;
  sum = sum * w + 1.00950558e-4;
  sum = sum * w + 1.34934322e-3;
  sum = sum * w - 3.67342844e-3;
  sum = sum * w + 5.73950773e-3;
  sum = sum * w - 7.6224613e-3;
  sum = sum * w + 9.43887047e-3;
  sum = sum * w + 1.00167406;
  sum = sum * w + 2.83297682;
  return sum;
}
