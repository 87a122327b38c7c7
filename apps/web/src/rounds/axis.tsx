import type { Ref } from 'preact';
import type { Scale } from '../charts/scale.ts';
import { ticksOf } from '../charts/windows.tsx';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';

interface AxisProps {
  readonly x: Scale;
  readonly now: number;
  /** Its width is that of every window below it. */
  readonly frame: Ref<HTMLDivElement>;
}

/** The axis of time that all lines share; it stays in view while they go by. */
export function Axis({ x, now, frame }: AxisProps) {
  const [from, to] = x.range;
  return (
    <div class="axis" aria-hidden="true">
      <div ref={frame}>
        <svg class="chart" width={to + 1} height="24" viewBox={`0 0 ${to + 1} 24`} aria-hidden="true">
          {ticksOf(x, to - from)
            .filter((at) => Math.abs(x(at) - x(now)) > 48)
            .map((at) => (
              <text key={at} class="soft" x={x(at)} y="16" text-anchor="middle">
                {print.value.dates.day(at)}
              </text>
            ))}
          <text class="bold" x={x(now)} y="16">
            {words.chart.today}
          </text>
        </svg>
      </div>
    </div>
  );
}
