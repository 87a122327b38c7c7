import type { Particles } from './particles.ts';

/** One particle in so many is asked: over all coordinates that is good to a hundredth. */
const stride = 4;

/** Mean over coordinates of the correlation of particles with where they were: 1 means nothing moved. */
export function remembered(began: Float64Array, { count, size, scores }: Particles): number {
  const asked = Math.ceil(count / stride);
  const sums = Array.from({ length: 5 }, () => new Float64Array(size));
  const [x, y, xx, yy, xy] = sums as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  for (let particle = 0; particle < count; particle += stride)
    for (let i = 0, at = particle * size; i < size; i++, at++) {
      const a = began[at]!;
      const b = scores[at]!;
      x[i] = x[i]! + a;
      y[i] = y[i]! + b;
      xx[i] = xx[i]! + a * a;
      yy[i] = yy[i]! + b * b;
      xy[i] = xy[i]! + a * b;
    }
  let sum = 0;
  for (let i = 0; i < size; i++) {
    const spread = Math.sqrt((xx[i]! - x[i]! ** 2 / asked) * (yy[i]! - y[i]! ** 2 / asked));
    sum += spread > 0 ? (xy[i]! - (x[i]! * y[i]!) / asked) / spread : 1;
  }
  return Math.min(1, Math.max(0, sum / size));
}
