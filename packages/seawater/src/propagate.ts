/** A number with its standard error, in one unit. */
export type Measured = { value: number; sd: number };

/** A number known exactly, as far as this calculation goes. */
export const exactly = (value: number): Measured => ({ value, sd: 0 });

/** A result with its standard error and what each input contributes to it, in the result's unit. */
export type Propagated<K extends string> = Measured & { shares: Record<K, number> };

/** Step of the finite differences, in standard errors: small beside any curvature, large beside rounding. */
const STEP = 0.01;

/**
 * First-order propagation of independent standard errors through `f` by central differences [JCGM100].
 * `shares[name]` is |∂f/∂name|·sd; the sd of the result is their root sum of squares.
 * Where one side of an input is outside the domain of `f` (NaN), the other side alone is used.
 * Check: x·y with x 2 ± 0.1, y 3 ± 0.1 → 6 ± 0.3606.
 */
export function propagate<K extends string>(
  f: (at: Record<K, number>) => number,
  inputs: Record<K, Measured>,
): Propagated<K> {
  const names = Object.keys(inputs) as K[];
  const centre = Object.fromEntries(names.map((name) => [name, inputs[name].value])) as Record<K, number>;
  const value = f(centre);
  const share = (name: K): number => {
    const { value: x, sd } = inputs[name];
    if (sd === 0) return 0;
    const step = STEP * sd;
    const up = f({ ...centre, [name]: x + step });
    const down = f({ ...centre, [name]: x - step });
    if (Number.isNaN(down)) return Math.abs(up - value) / STEP;
    if (Number.isNaN(up)) return Math.abs(value - down) / STEP;
    return Math.abs(up - down) / (2 * STEP);
  };
  const shares = Object.fromEntries(names.map((name) => [name, share(name)])) as Record<K, number>;
  return { value, sd: Math.hypot(...names.map((name) => shares[name])), shares };
}
