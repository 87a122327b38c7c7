/**
 * A root of `f` between `low` and `high`, where `f` changes sign, by Ridders' method [RIDDERS79].
 * It keeps the root bracketed and takes exponential residuals (ours are powers of ten) in its stride.
 * NaN when the sign does not change: the caller says what that means for its quantity.
 * Check: x² − 2 on 0–2 → 1.41421356.
 */
export function root(f: (x: number) => number, low: number, high: number, tolerance = 1e-12): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa * fb < 0)) return Number.NaN;
  let best = Number.NaN;
  for (let i = 0; i < 100; i += 1) {
    const middle = 0.5 * (a + b);
    const fm = f(middle);
    const s = Math.sqrt(fm * fm - fa * fb);
    if (s === 0) return middle;
    const x = middle + ((middle - a) * Math.sign(fa - fb) * fm) / s;
    if (Math.abs(x - best) <= tolerance) return x;
    best = x;
    const fx = f(x);
    if (fx === 0) return x;
    if (fm * fx < 0) {
      [a, fa, b, fb] = [middle, fm, x, fx];
    } else if (fa * fx < 0) {
      [b, fb] = [x, fx];
    } else {
      [a, fa] = [x, fx];
    }
    if (Math.abs(b - a) <= tolerance) return 0.5 * (a + b);
  }
  return best;
}
