import type { Particles } from './moves.ts';

/** Mean over coordinates of the correlation of particles with where they were: 1 means nothing moved. */
export function remembered(began: Float64Array, { count, size, scores }: Particles): number {
  let sum = 0;
  for (let i = 0; i < size; i++) {
    let [x, y, xx, yy, xy] = [0, 0, 0, 0, 0];
    for (let particle = 0; particle < count; particle++) {
      const a = began[particle * size + i]!;
      const b = scores[particle * size + i]!;
      x += a;
      y += b;
      xx += a * a;
      yy += b * b;
      xy += a * b;
    }
    const spread = Math.sqrt((xx - (x * x) / count) * (yy - (y * y) / count));
    sum += spread > 0 ? (xy - (x * y) / count) / spread : 1;
  }
  return Math.min(1, Math.max(0, sum / size));
}
