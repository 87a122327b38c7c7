import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import { words } from '../words/index.ts';
import type { Scale } from './scale.ts';
import type { Stretch } from './time.ts';
import { dayTicks } from './time.ts';

/** The time axis, graduated like the border of a sea chart: one block a week, filled and empty in turn. */
export function Neatline({ x, y, stretch, dates }: { x: Scale; y: number; stretch: Stretch; dates: Dates }) {
  const [left, right] = x.range;
  const days = Math.round((stretch.end - stretch.opened) / DAY_MS);
  const at = (day: number) => x(stretch.opened + day * DAY_MS);
  const filled = Array.from({ length: Math.ceil(days / 14) }, (_, i) => i * 14);
  const marks = dayTicks(days, right - left, 64);
  return (
    <g>
      <rect class="scale-frame" x={left} y={y} width={right - left} height={6} />
      {filled.map((day) => (
        <rect
          key={day}
          class="scale-fill"
          x={r(at(day))}
          y={y}
          width={r(Math.min(at(day + 7), right) - at(day))}
          height={6}
        />
      ))}
      {marks.map((day, i) => (
        <text key={day} x={at(day)} y={y + 22} text-anchor={anchorOf(i, at(day), right)}>
          {words.chart.day(day)}
          <tspan class="soft" x={at(day)} dy="16" font-size="12">
            {dates.day(stretch.opened + day * DAY_MS)}
          </tspan>
        </text>
      ))}
    </g>
  );
}

const r = (n: number) => Math.round(n * 10) / 10;
const anchorOf = (index: number, x: number, right: number) =>
  index === 0 ? 'start' : x > right - 20 ? 'end' : 'middle';
