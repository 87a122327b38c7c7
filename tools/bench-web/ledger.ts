/** Figures beside what they may be; of several rounds the middle one counts, or the lesser of two. */
interface Figure {
  readonly value: number;
  readonly unit: string;
}

export const milliseconds = (value: number): Figure => ({ value, unit: 'ms' });
export const kilobytes = (value: number): Figure => ({ value, unit: 'kB' });

const said = ({ value, unit }: Figure): string => `${Math.round(value).toLocaleString('en-GB')} ${unit}`;

export function ledger() {
  const lines = new Map<string, { readonly goal: Figure | undefined; readonly seen: Figure[] }>();
  let before = '';
  return {
    /** A line that begins with spaces belongs to the last that begins with fewer. */
    note(what: string, figure: Figure, goal?: Figure): void {
      const depth = what.length - what.trimStart().length;
      const above = before.split('|').filter((part) => part.length - part.trimStart().length < depth);
      const key = [...above, what].join('|');
      before = key;
      const line = lines.get(key) ?? { goal, seen: [] };
      line.seen.push(figure);
      lines.set(key, line);
    },
    print(): void {
      console.log(
        `${''.padEnd(58)}${'least'.padStart(10)}${'middle'.padStart(10)}${'most'.padStart(10)}${'goal'.padStart(10)}`,
      );
      for (const [key, { goal, seen }] of lines) {
        const sorted = [...seen].sort((a, b) => a.value - b.value);
        const middle = sorted[Math.floor((sorted.length - 1) / 2)];
        const [least, most] = [sorted[0], sorted.at(-1)];
        if (least === undefined || middle === undefined || most === undefined) continue;
        const over = goal !== undefined && middle.value > goal.value ? '  over' : '';
        console.log(
          `${(key.split('|').at(-1) ?? '').padEnd(58)}${said(least).padStart(10)}${said(middle).padStart(10)}${said(most).padStart(10)}${(goal ? said(goal) : '').padStart(10)}${over}`,
        );
      }
    },
  };
}
