/** Mean over coordinates of the correlation of particles with where they were: 1 means nothing moved. Shape (count, size). */
export function remembered(began: Float64Array, scores: Float64Array, size: number): number {
  const count = scores.length / size;
  let sum = 0;
  for (let coordinate = 0; coordinate < size; coordinate++) {
    let [x, y, xx, yy, xy] = [0, 0, 0, 0, 0];
    for (let at = coordinate; at < scores.length; at += size) {
      const a = began[at]!;
      const b = scores[at]!;
      x += a;
      y += b;
      xx += a * a;
      yy += b * b;
      xy += a * b;
    }
    const spread = Math.sqrt((xx - x ** 2 / count) * (yy - y ** 2 / count));
    sum += spread > 0 ? (xy - (x * y) / count) / spread : 1;
  }
  return Math.min(1, Math.max(0, sum / size));
}
