import { encode } from 'uqr';

/** A square code (ISO/IEC 18004) as one path: dark on light whatever the paper, since cameras expect it so. */
export function SquareCode({ text, name }: { text: string; name: string }) {
  const { data, size } = encode(text, { ecc: 'Q', border: 4 });
  return (
    <svg
      class="code"
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label={name}
      shape-rendering="crispEdges"
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={pathOf(data)} fill="#000" />
    </svg>
  );
}

/** Every run of dark squares in a row as one stroke of the outline. */
export function pathOf(rows: readonly (readonly boolean[])[]): string {
  return rows
    .flatMap((row, y) =>
      row.flatMap((dark, x) => {
        if (!dark || row[x - 1]) return [];
        const end = row.indexOf(false, x);
        const length = (end < 0 ? row.length : end) - x;
        return [`M${x},${y}h${length}v1h-${length}z`];
      }),
    )
    .join('');
}
