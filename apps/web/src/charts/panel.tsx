import type { BandPoint, DrawnReading, Series } from '@brinewright/counsel';
import { bisector } from 'd3-array';
import { area, curveMonotoneX, line } from 'd3-shape';
import { words } from '../words/index.ts';
import { rulesOf } from './levels.ts';
import type { Scale } from './scale.ts';

interface PanelProps {
  readonly series: Series;
  readonly readings: readonly DrawnReading[];
  readonly x: Scale;
  readonly y: Scale;
  readonly today: number;
  readonly clip: string;
  readonly printLevel: (value: number) => string;
}

/** One analyte: ruled paper, the two bands, the middle line, and the readings as the intervals they are. */
export function Panel({ series, readings, x, y, today, clip, printLevel }: PanelProps) {
  const [left, right] = x.range;
  const points = within(series.points, x);
  return (
    <g>
      <text class="name" x={left - 2} y={y(y.domain[1]) - 10}>
        {words.analyte[series.analyte]}
        <tspan class="soft unit" dx="7" font-size="12.5" font-family="var(--sans)" font-weight="400">
          {words.chart.unit}
        </tspan>
      </text>
      {rulesOf(y.domain[1]).map((value) => (
        <g key={value}>
          <line class="grid" x1={left} x2={right} y1={y(value)} y2={y(value)} />
          <text class="soft" x={left - 7} y={y(value) + 4.5} text-anchor="end">
            {printLevel(value)}
          </text>
        </g>
      ))}
      <g clip-path={`url(#${clip})`}>
        <Bands points={points} x={x} y={y} />
        <Middle points={points} x={x} y={y} today={today} />
      </g>
      <line class="base" x1={left} x2={right} y1={y(0)} y2={y(0)} />
      {readings.map((reading) => (
        <ReadingMark key={reading.entry} reading={reading} x={x} y={y} />
      ))}
    </g>
  );
}

/** The points the scale shows, and two past either end, so that a curve leaves the paper as it would have gone on. */
function within(points: readonly BandPoint[], { domain: [from, to] }: Scale): readonly BandPoint[] {
  return points.slice(Math.max(0, byInstant(points, from) - 2), byInstant(points, to) + 2);
}

interface DrawnProps {
  readonly points: readonly BandPoint[];
  readonly x: Scale;
  readonly y: Scale;
}

function Bands({ points, x, y }: DrawnProps) {
  const between = (low: 'p05' | 'p25', high: 'p75' | 'p95') =>
    area<BandPoint>(
      (p) => x(Date.parse(p.at)),
      (p) => y(p[low]),
      (p) => y(p[high]),
    )
      .curve(curveMonotoneX)
      .digits(1)(points);
  return (
    <>
      <path class="wide-band" d={between('p05', 'p95') ?? ''} />
      <path class="half-band" d={between('p25', 'p75') ?? ''} />
    </>
  );
}

/** The median: solid as far as it is known, dashed where it is forecast. */
function Middle({ points, x, y, today }: DrawnProps & { readonly today: number }) {
  const path = line<{ at: number; level: number }>(
    (p) => x(p.at),
    (p) => y(p.level),
  )
    .curve(curveMonotoneX)
    .digits(1);
  const all = points.map((p) => ({ at: Date.parse(p.at), level: p.p50 }));
  const here = { at: today, level: levelAt(points, today, 'p50') };
  const past = [...all.filter((p) => p.at < today), here];
  const ahead = [here, ...all.filter((p) => p.at > today)];
  return (
    <>
      <path class="middle" d={path(past) ?? ''} />
      <path class="middle ahead" d={path(ahead) ?? ''} />
    </>
  );
}

const CAP = 4.5;

/** A bar from the lowest to the highest true level the kit allows; an arrow where it runs on. */
function ReadingMark({ reading, x, y }: { reading: DrawnReading; x: Scale; y: Scale }) {
  const [, top] = y.domain;
  const at = x(Date.parse(reading.at));
  const low = y(Math.min(reading.low, top));
  const open = reading.high === null || reading.high > top;
  const high = open ? y(top) + 1 : Math.min(y(reading.high ?? top), low - 3);
  const cap = (level: number) => `M${r(at - CAP)},${r(level)}H${r(at + CAP)}`;
  const arrow = `M${r(at - CAP)},${r(high + 6)}L${r(at)},${r(high)}L${r(at + CAP)},${r(high + 6)}`;
  return (
    <g>
      <path class="reading" d={`${cap(low)}M${r(at)},${r(low)}V${r(high)}${open ? arrow : cap(high)}`} />
      {reading.surprise < SURPRISING && (
        <text class="puzzle" x={at} y={high - 4}>
          ?
        </text>
      )}
    </g>
  );
}

/** A reading rarer than this beside the forecast gets a question mark. */
const SURPRISING = 0.02;

const r = (n: number) => Math.round(n * 10) / 10;

const byInstant = bisector((point: BandPoint) => Date.parse(point.at)).left;

/** One quantile of a series at an instant, straight between its points. */
export function levelAt(
  points: readonly BandPoint[],
  at: number,
  quantile: Exclude<keyof BandPoint, 'at'>,
): number {
  const after = byInstant(points, at);
  const b = points[after];
  if (b === undefined) return points[points.length - 1]?.[quantile] ?? 0;
  const a = points[after - 1];
  if (a === undefined) return b[quantile];
  const share = (at - Date.parse(a.at)) / (Date.parse(b.at) - Date.parse(a.at));
  return a[quantile] + share * (b[quantile] - a[quantile]);
}
