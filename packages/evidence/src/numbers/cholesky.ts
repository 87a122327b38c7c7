/**
 * Lower Cholesky factor of a symmetric positive definite matrix, both row-major of shape (n, n).
 * @throws RangeError where the matrix is not positive definite, naming the pivot.
 */
export function cholesky(matrix: Float64Array, n: number): Float64Array {
  const lower = new Float64Array(n * n);
  for (let row = 0; row < n; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[row * n + column]!;
      for (let k = 0; k < column; k++) sum -= lower[row * n + k]! * lower[column * n + k]!;
      if (row !== column) lower[row * n + column] = sum / lower[column * n + column]!;
      else if (sum > 0) lower[row * n + row] = Math.sqrt(sum);
      else throw new RangeError(`matrix is not positive definite at pivot ${row}`);
    }
  }
  return lower;
}

/** Solves `lower · x = b` in place of `x`; returns the squared length of x. */
export function solveLower(lower: Float64Array, n: number, b: Float64Array, x: Float64Array): number {
  let square = 0;
  for (let row = 0; row < n; row++) {
    let sum = b[row]!;
    for (let k = 0; k < row; k++) sum -= lower[row * n + k]! * x[k]!;
    const value = sum / lower[row * n + row]!;
    x[row] = value;
    square += value * value;
  }
  return square;
}
