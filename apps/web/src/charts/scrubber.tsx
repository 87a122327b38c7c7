import { words } from '../words/index.ts';
import type { Frame } from './frame.ts';
import type { Stretch } from './time.ts';

interface ScrubberProps {
  readonly frame: Frame;
  readonly stretch: Stretch;
  readonly day: number;
  /** Null when the pointer or the focus goes away. */
  readonly onDay: (day: number | null) => void;
  /** What is under the cursor, for the ear. */
  readonly said: string;
}

/** Lies over the drawing and moves the cursor: by mouse, by thumb, by arrow keys. */
export function Scrubber({ frame, stretch, day, onDay, said }: ScrubberProps) {
  const { firstDay, lastDay } = stretch;
  const within = (wanted: number) => Math.max(firstDay, Math.min(lastDay, wanted));
  const fromPointer = (event: PointerEvent) => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const share = (event.clientX - box.left) / box.width;
    onDay(within(Math.round(firstDay + share * (lastDay - firstDay))));
  };
  return (
    <div
      class="scrubber"
      role="slider"
      tabIndex={0}
      aria-label={words.chart.cursor}
      aria-valuemin={firstDay}
      aria-valuemax={lastDay}
      aria-valuenow={day}
      aria-valuetext={said}
      style={{
        left: `${(100 * frame.left) / frame.width}%`,
        right: `${(100 * (frame.width - frame.right)) / frame.width}%`,
        top: `${frame.top}px`,
        height: `${frame.bottom - frame.top}px`,
      }}
      onPointerMove={fromPointer}
      onPointerDown={fromPointer}
      onPointerLeave={(event) => event.pointerType === 'mouse' && onDay(null)}
      onKeyDown={(event) => {
        const step = STEPS[event.key];
        if (step === undefined) return;
        event.preventDefault();
        onDay(within(day + step));
      }}
      onFocus={() => onDay(day)}
      onBlur={() => onDay(null)}
    />
  );
}

const STEPS: Readonly<Record<string, number>> = {
  ArrowLeft: -1,
  ArrowDown: -1,
  ArrowRight: 1,
  ArrowUp: 1,
  PageDown: -7,
  PageUp: 7,
  Home: Number.NEGATIVE_INFINITY,
  End: Number.POSITIVE_INFINITY,
};
