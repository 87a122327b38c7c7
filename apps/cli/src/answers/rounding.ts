/**
 * How numbers are written in answers for programs: enough digits that nothing a fit can tell is lost, few enough
 * that the last digit means something and the text does not change with the machine.
 *   levels, capacities, amounts   4 significant digits; below a millionth they are 0
 *   probabilities                 4 decimals
 *   log evidence                  2 decimals
 *   effective samples, seconds    1 decimal
 */

const least = 1e-6;

/** 4 significant digits; a size below a millionth is 0. */
export function quantity(value: number): number {
  if (Math.abs(value) < least) return 0;
  return Number(value.toPrecision(4));
}

/** A number to a fixed count of decimals, never minus zero. */
export function decimals(value: number, places: number): number {
  return Number(value.toFixed(places)) + 0;
}

export const probability = (value: number): number => decimals(value, 4);
