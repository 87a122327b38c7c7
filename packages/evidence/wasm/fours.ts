/** Tables of particles in fours: the numbers of four at one place stand side by side, as ../src/numbers/fours.ts has them. */
export const LANES = 4;

/** The numbers of four particles at one place. */
export function at(table: usize, place: i32): v128 {
  return v128.load(table + 16 * place);
}
export function set(table: usize, place: i32, value: v128): void {
  v128.store(table + 16 * place, value);
}
