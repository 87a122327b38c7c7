import { add, all, div, exponential, mul, sub } from '@brinewright/nitrogen/wasm/lanes';

/** A prior in memory: its shape, a 32-bit integer, then centre and spread in single precision. */
export const PRIOR_BYTES = 12;
const NORMAL = 0;
const LOGNORMAL = 1;

/** What four scores come to by one of the priors of a table. */
export function valueAt(priors: usize, index: i32, score: v128): v128 {
  const prior = priors + PRIOR_BYTES * index;
  const x = add(v128.load32_splat(prior, 4), mul(v128.load32_splat(prior, 8), score));
  const kind = load<i32>(prior);
  if (kind === NORMAL) return x;
  if (kind === LOGNORMAL) return exponential(x);
  return div(all(1), add(all(1), exponential(sub(all(0), x))));
}
