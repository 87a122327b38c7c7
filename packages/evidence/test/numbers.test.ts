import { describe, expect, it } from 'vitest';
import { cholesky, solveLower } from '../src/numbers/cholesky.ts';
import { normalCdf, normalLogDensity, normalOf } from '../src/numbers/normal.ts';
import { gamma, stream } from '../src/numbers/random.ts';

const moments = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
  return { mean, variance };
};

describe('random streams', () => {
  it('give the same numbers for the same seed and keys, others for others', () => {
    const draw = (...keys: number[]) => Array.from({ length: 5 }, () => stream(7, ...keys).uniform());
    const one = stream(7, 1, 2);
    const again = stream(7, 1, 2);
    expect([one.normal(), one.uniform(), one.normal()]).toEqual([
      again.normal(),
      again.uniform(),
      again.normal(),
    ]);
    expect(draw(1, 2)[0]).not.toBe(draw(2, 1)[0]);
    expect(stream(7).uniform()).not.toBe(stream(8).uniform());
  });

  it('have the moments of their distributions', () => {
    const random = stream(20_260_101);
    const normals = moments(Array.from({ length: 40_000 }, () => random.normal()));
    expect(normals.mean).toBeCloseTo(0, 1);
    expect(normals.variance).toBeCloseTo(1, 1);
    for (const shape of [0.5, 1, 4.5]) {
      const gammas = moments(Array.from({ length: 40_000 }, () => gamma(random, shape)));
      expect(Math.abs(gammas.mean / shape - 1)).toBeLessThan(0.03);
      expect(Math.abs(gammas.variance / shape - 1)).toBeLessThan(0.08);
    }
  });

  it('of neighbouring keys are not alike', () => {
    const first = Array.from({ length: 20_000 }, (_, key) => stream(3, key).normal());
    const products = first.slice(1).map((value, index) => value * first[index]!);
    expect(Math.abs(moments(first).mean)).toBeLessThan(0.03);
    expect(Math.abs(moments(products).mean)).toBeLessThan(0.03);
  });
});

describe('normal distribution', () => {
  it.each([
    [0, 0.5],
    [1, 0.841344746068543],
    [1.959963984540054, 0.975],
    [-3, 1.349898031630095e-3],
    [-8, 6.220960574271785e-16],
  ])('has the tabulated value at %f', (x, expected) => {
    expect(Math.abs(normalCdf(x) - expected)).toBeLessThan(1e-15);
  });

  it.each([
    [0.001, -3.0902323],
    [0.025, -1.959964],
    [0.6, 0.2533471],
    [0.9999, 3.7190165],
  ])('has its quantile of %f at %f', (u, z) => {
    expect(Math.abs(normalOf(u) - z)).toBeLessThan(1e-4 * Math.max(1, z));
    expect(Math.abs(normalCdf(normalOf(u)) - u)).toBeLessThan(2 ** -23);
  });

  it('has the density of its definition', () => {
    expect(normalLogDensity(0, 0, 1)).toBeCloseTo(-0.9189385332046727, 14);
    expect(normalLogDensity(3, 1, 2)).toBeCloseTo(-0.5 - Math.log(2) - 0.9189385332046727, 14);
  });
});

describe('Cholesky factor', () => {
  it('multiplies back to the matrix and solves', () => {
    const matrix = Float64Array.of(4, 2, 0.6, 2, 5, 1, 0.6, 1, 3);
    const lower = cholesky(matrix, 3);
    const back = Array.from({ length: 9 }, (_, place) => {
      const [row, column] = [Math.floor(place / 3), place % 3];
      return [0, 1, 2].reduce((sum, k) => sum + lower[row * 3 + k]! * lower[column * 3 + k]!, 0);
    });
    for (const [place, value] of back.entries()) expect(value).toBeCloseTo(matrix[place]!, 12);
    const x = new Float64Array(3);
    const square = solveLower(lower, 3, Float64Array.of(2, -1, 0.5), x);
    expect(square).toBeCloseTo(x[0]! ** 2 + x[1]! ** 2 + x[2]! ** 2, 12);
    expect(lower[0]! * x[0]!).toBeCloseTo(2, 12);
  });

  it('names the pivot of a matrix that is not positive definite', () => {
    expect(() => cholesky(Float64Array.of(1, 2, 2, 1), 2)).toThrow('pivot 1');
  });
});
