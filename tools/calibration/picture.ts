/** A strip of histograms of places: flat where a forecast is calibrated, the grey band what chance alone would leave. */
export interface Histogram {
  readonly title: string;
  readonly places: readonly number[];
}

const bins = 10;
const width = 200;
const height = 110;
const gap = 24;
/** Two-sided 95 % of a binomial count, in standard deviations. */
const chanceWidth = 1.96;

export function histograms(list: readonly Histogram[]): string {
  const columns = Math.min(4, list.length);
  const rows = Math.ceil(list.length / columns);
  const cell = (index: number): string => {
    const x = (index % columns) * (width + gap) + gap;
    const y = Math.floor(index / columns) * (height + 50) + 34;
    return `<g transform="translate(${x} ${y})">${one(list[index]!)}</g>`;
  };
  const full = [columns * (width + gap) + gap, rows * (height + 50) + 10];
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${full.join(' ')}" width="${full[0]}" height="${full[1]}" font-family="sans-serif" font-size="12" role="img" aria-label="Histograms of where truths fell in their forecasts">
<rect width="100%" height="100%" fill="#faf7f0"/>
${list.map((_, index) => cell(index)).join('\n')}
</svg>
`;
}

function one({ title, places }: Histogram): string {
  const counts = new Array<number>(bins).fill(0);
  for (const place of places) {
    const bin = Math.min(bins - 1, Math.floor(place * bins));
    counts[bin] = counts[bin]! + 1;
  }
  const expected = places.length / bins;
  const spread = chanceWidth * Math.sqrt(expected * (1 - 1 / bins));
  const most = Math.max(...counts, expected + spread) * 1.1;
  const up = (count: number): number => height - (height * count) / most;
  const bars = counts
    .map((count, bin) => {
      const x = (bin * width) / bins + 1;
      return `<rect x="${x}" y="${up(count).toFixed(1)}" width="${width / bins - 2}" height="${(height - up(count)).toFixed(1)}" fill="#1c2432"/>`;
    })
    .join('');
  const band = `<rect x="0" y="${up(expected + spread).toFixed(1)}" width="${width}" height="${(up(expected - spread) - up(expected + spread)).toFixed(1)}" fill="#a3155f" fill-opacity="0.18"/>`;
  return `<text y="-10" fill="#1c2432">${title} (${places.length})</text>${bars}${band}<line x1="0" y1="${height}" x2="${width}" y2="${height}" stroke="#1c2432"/>`;
}
