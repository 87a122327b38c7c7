import type { Dates } from '../format/dates.ts';
import { words } from '../words/index.ts';
import type { Scale } from './scale.ts';
import { dayTicks, instantOf, type Stretch } from './time.ts';

/** The time axis, graduated like the border of a sea chart: one block a week, filled and empty in turn. */
export function Neatline({ x, y, stretch, dates }: { x: Scale; y: number; stretch: Stretch; dates: Dates }) {
  const [left, right] = x.range;
  const at = (day: number) => Math.max(left, Math.min(right, x(instantOf(stretch, day))));
  const blocks = Array.from({ length: Math.ceil((stretch.lastDay + 1) / 14) }, (_, i) => i * 14);
  return (
    <g>
      <rect class="scale-frame" x={left} y={y} width={right - left} height={6} />
      {blocks
        .filter((day) => day + 7 > stretch.firstDay)
        .map((day) => (
          <rect
            key={day}
            class="scale-fill"
            x={r(at(day))}
            y={y}
            width={r(at(day + 7) - at(day))}
            height={6}
          />
        ))}
      {dayTicks(stretch, right - left, 64).map((day) => (
        <text key={day} x={at(day)} y={y + 22} text-anchor={anchorOf(at(day), left, right)}>
          {words.chart.day(day)}
          <tspan class="soft" x={at(day)} dy="16" font-size="12">
            {dates.day(instantOf(stretch, day))}
          </tspan>
        </text>
      ))}
    </g>
  );
}

const r = (n: number) => Math.round(n * 10) / 10;

function anchorOf(x: number, left: number, right: number): 'start' | 'middle' | 'end' {
  if (x < left + 20) return 'start';
  return x > right - 20 ? 'end' : 'middle';
}
