import type { DrawnDeed } from '@brinewright/counsel';
import type { Scale } from './scale.ts';

/** Deeds close together share one label. */
interface Group {
  readonly x: number;
  readonly deeds: readonly DrawnDeed[];
}

const NEAR = 14;
const LETTER = 6.3;

function groupDeeds(deeds: readonly DrawnDeed[], x: Scale): readonly Group[] {
  const groups: { x: number; deeds: DrawnDeed[] }[] = [];
  for (const deed of deeds) {
    const at = x(Date.parse(deed.at));
    const last = groups[groups.length - 1];
    if (last && at - last.x < NEAR) last.deeds.push(deed);
    else groups.push({ x: at, deeds: [deed] });
  }
  return groups;
}

/** What was done to the tank, along the foot: a mark each, and its words where there is room for them. */
export function Deeds({ deeds, x, y }: { deeds: readonly DrawnDeed[]; x: Scale; y: number }) {
  const [left, right] = x.range;
  const groups = groupDeeds(deeds, x);
  const ends = [left - 4, left - 4];
  return (
    <g>
      {groups.map((group, i) => {
        const label = group.deeds.map((d) => d.text).join(' · ');
        const from = group.x + 9;
        const to = from + label.length * LETTER;
        const limits = [(groups[i + 1]?.x ?? right + 8) - 8, right];
        const row = ends.findIndex((end, at) => from >= end && to <= (limits[at] ?? right));
        if (row >= 0) ends[row] = to + 14;
        const shape = group.deeds.find((d) => d.kind !== 'opened')?.kind ?? 'opened';
        return (
          <g key={group.deeds[0]!.entry} transform={`translate(${Math.round(group.x * 10) / 10},${y})`}>
            <path class={`deed ${shape}${OPEN.has(shape) ? ' open' : ''}`} d={SHAPES[shape]} />
            {row >= 0 && (
              <text class="soft" x={9} y={5 + row * 16} font-size="12.5">
                {label}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

const OPEN: ReadonlySet<string> = new Set(['exchange', 'culture']);

/** One shape a kind, about 9 pixels wide, centred on the instant. */
const SHAPES: Readonly<Record<DrawnDeed['kind'], string>> = {
  opened: 'M0,-5V6M0,-5L6,-2L0,1',
  dose: 'M0,-5L4.6,4.5H-4.6Z',
  culture: 'M0,-5.5L5,0L0,5.5L-5,0Z',
  food: 'M0,-3.8A3.8,3.8 0 1 1 0,3.8A3.8,3.8 0 1 1 0,-3.8Z',
  exchange: 'M-4.2,-4.2H4.2V4.2H-4.2ZM-4.2,0.2H4.2',
  arrival: 'M-5,0H5M0,-5V5',
  loss: 'M-4,-4L4,4M4,-4L-4,4',
};
