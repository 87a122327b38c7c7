/**
 * e^x and ln x from additions, multiplications and divisions alone. The language leaves the last digit of `Math.exp`,
 * `Math.log` and `**` to each engine, and engines differ in one of ten results; these give the same bits everywhere
 * (docs/decisions/0007-same-bytes.md). Error: below 1.5 units of the last place.
 */

/** ln 2 in two parts; the first has enough trailing zeros that its product with an exponent is exact. */
const ln2High = 0.6931471803691238;
const ln2Low = 1.9082149292705877e-10;

const leastExponent = -1074;
const mostExponent = 1023;

/** 2^k, by exact doubling and halving. */
const powersOfTwo = new Float64Array(mostExponent - leastExponent + 1);
for (let k = 0, power = 1; k <= mostExponent; k++, power *= 2) powersOfTwo[k - leastExponent] = power;
for (let k = -1, power = 0.5; k >= leastExponent; k--, power /= 2) powersOfTwo[k - leastExponent] = power;

/** e^r for |r| ≤ ln 2 / 2 by its series. */
function series(r: number): number {
  let sum = 1;
  for (let n = 17; n > 0; n--) sum = 1 + (sum * r) / n;
  return sum;
}

/** Parts into which a factor of two is cut, and e^(j·ln 2 / parts) for each. */
const parts = 64;
const partPowers = Float64Array.from({ length: parts }, (_, j) =>
  j <= parts / 2 ? series((j * Math.LN2) / parts) : 2 * series(((j - parts) * Math.LN2) / parts),
);

/**
 * e^x. Check: 1 → 2.718281828459045; −745.2 → 0; 709.8 → Infinity; NaN → NaN.
 * x = (64 k + j)·ln 2 / 64 + r, and e^r by five terms of its series.
 */
export function exp(x: number): number {
  if (!(x > -745.14)) return Number.isNaN(x) ? x : 0;
  if (x > 709.79) return Infinity;
  const whole = Math.floor(x * (parts / Math.LN2) + 0.5);
  const r = x - whole * (ln2High / parts) - whole * (ln2Low / parts);
  const j = whole & (parts - 1);
  const k = (whole - j) / parts;
  const more = r * (1 + r * (1 / 2 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120)))));
  const power = partPowers[j]!;
  const value = power + power * more;
  // The largest results have an exponent one above the table's end.
  if (k > mostExponent) return value * powersOfTwo[mostExponent - leastExponent]! * 2;
  if (k < -1021) return value * powersOfTwo[k + 100 - leastExponent]! * powersOfTwo[-100 - leastExponent]!;
  return value * powersOfTwo[k - leastExponent]!;
}

const double = new Float64Array(1);
const words = new Int32Array(double.buffer);
const high = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1 ? 1 : 0;

/** High word of √2, rounded: from there on a fraction is halved. */
const sqrtTwoHigh = 0x3ff6a09e;

/** ln m for m from ½ to 2 by the series 2·(s + s³/3 + s⁵/5 + …), s = (m − 1)/(m + 1). */
function logSeries(m: number): number {
  const s = (m - 1) / (m + 1);
  let sum = 0;
  for (let n = 41; n > 0; n -= 2) sum = sum * s * s + 1 / n;
  return 2 * s * sum;
}

/** Steps of 1/64 from 45/64 to 91/64, which reach from √½ to √2: ln of each and its inverse. */
const steps = 64;
const firstStep = 45;
const stepLogs = Float64Array.from({ length: 47 }, (_, j) => logSeries((firstStep + j) / steps));
const stepInverses = Float64Array.from({ length: 47 }, (_, j) => steps / (firstStep + j));

/**
 * ln x. Check: 2 → 0.6931471805599453; 0 → −Infinity; negative → NaN.
 * x = 2^k·m with m between √½ and √2; m = c·(1 + r) with c the nearest step, and ln (1 + r) by its series.
 */
export function log(x: number): number {
  if (!(x > 0)) return x === 0 ? -Infinity : Number.NaN;
  if (x === Infinity) return Infinity;
  if (x < 2.3e-308) return log(x * 2 ** 54) - 54 * Math.LN2;
  double[0] = x;
  const word = words[high]!;
  const halved = ((word & 0xfffff) | 0x3ff00000) >= sqrtTwoHigh ? 1 : 0;
  const k = (word >> 20) - 1023 + halved;
  const m = x * powersOfTwo[-k - leastExponent]!;
  const step = Math.floor(m * steps + 0.5);
  const j = step - firstStep;
  const r = (m - step / steps) * stepInverses[j]!;
  const z = r * r;
  const even = 1 / 2 + z * (1 / 4 + z * (1 / 6 + z * (1 / 8)));
  const odd = 1 / 3 + z * (1 / 5 + z * (1 / 7));
  return k * ln2High + (stepLogs[j]! + (r - z * (even - r * odd) + k * ln2Low));
}

/** 10^x. Check: −1 → 0.1 within a unit of the last place. */
export const power10 = (x: number): number => exp(x * Math.LN10);
