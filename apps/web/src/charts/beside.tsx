import type { BandPoint, Ready, Series } from '@brinewright/counsel';
import { area, curveMonotoneX, line } from 'd3-shape';
import type { Frame } from './frame.ts';

/** Another course to draw beside the plan, from an instant on. */
export interface Beside {
  readonly series: readonly Series[];
  readonly ready: Ready;
  /** Epoch milliseconds from which the two may differ. */
  readonly from: number;
}

/** The other course over the panels: its middle dotted, its wide band outlined and left empty. */
export function BesideCourse({ beside, frame, clip }: { beside: Beside; frame: Frame; clip: string }) {
  const { x, panels } = frame;
  return (
    <g>
      {panels.map(({ series: { analyte }, y }) => {
        const all = beside.series.find((series) => series.analyte === analyte)?.points ?? [];
        const points = all.filter((p) => Date.parse(p.at) >= beside.from);
        const at = (p: BandPoint) => x(Date.parse(p.at));
        const middle = line<BandPoint>(at, (p) => y(p.p50));
        const band = area<BandPoint>(
          at,
          (p) => y(p.p05),
          (p) => y(p.p95),
        );
        return (
          <g key={analyte} clip-path={`url(#${clip}${analyte})`}>
            <path class="beside-band" d={band.curve(curveMonotoneX).digits(1)(points) ?? ''} />
            <path class="beside-middle" d={middle.curve(curveMonotoneX).digits(1)(points) ?? ''} />
          </g>
        );
      })}
      <ReadyBracket ready={beside.ready} frame={frame} />
    </g>
  );
}

/** When the water would be ready on the other course: a bracket over the panels, open where it runs on. */
function ReadyBracket({ ready, frame }: { ready: Ready; frame: Frame }) {
  if (ready.p05 === null) return null;
  const { x, left, right, top } = frame;
  const place = (text: string) => Math.max(left, Math.min(right, x(Date.parse(text))));
  const from = place(ready.p05);
  const to = ready.p95 === null ? right : place(ready.p95);
  const foot = (at: number) => `M${r(at)},${top + 2}v7`;
  const end = ready.p95 === null || Date.parse(ready.p95) > x.domain[1] ? '' : foot(to);
  return <path class="beside-window" d={`${foot(from)}M${r(from)},${top + 2}H${r(to)}${end}`} />;
}

const r = (n: number) => Math.round(n * 10) / 10;
