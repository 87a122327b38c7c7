import type { Face, Ink } from '../paper/face.ts';

/** A rectangle of character cells, drawn layer over layer and then written out as lines. */
export interface Plane {
  readonly columns: number;
  readonly rows: number;
  put(column: number, row: number, mark: string, ink: Ink): void;
  /** Writes text from a column on, one character a cell; what falls outside is left out. */
  write(column: number, row: number, text: string, ink: Ink): void;
  isEmpty(column: number, row: number): boolean;
  lines(face: Face): string[];
}

interface Cell {
  readonly mark: string;
  readonly ink: Ink;
}

export function plane(columns: number, rows: number): Plane {
  const cells: (Cell | undefined)[] = new Array(columns * rows);
  const inside = (column: number, row: number): boolean =>
    column >= 0 && column < columns && row >= 0 && row < rows;
  const put = (column: number, row: number, mark: string, ink: Ink): void => {
    if (inside(column, row)) cells[row * columns + column] = { mark, ink };
  };
  return {
    columns,
    rows,
    put,
    write: (column, row, text, ink) => {
      for (const [offset, mark] of [...text].entries()) put(column + offset, row, mark, ink);
    },
    isEmpty: (column, row) => inside(column, row) && cells[row * columns + column] === undefined,
    lines: (face) =>
      Array.from({ length: rows }, (_, row) =>
        writeRow(cells.slice(row * columns, (row + 1) * columns), face),
      ),
  };
}

/** One line of cells, neighbours in the same ink written together, without trailing blanks. */
function writeRow(row: readonly (Cell | undefined)[], face: Face): string {
  let line = '';
  let run = '';
  let ink: Ink = 'body';
  for (const cell of withoutTrailingBlanks(row)) {
    const next = cell?.ink ?? 'body';
    if (next !== ink) {
      line += face.ink(ink, run);
      run = '';
      ink = next;
    }
    run += cell?.mark ?? ' ';
  }
  return line + face.ink(ink, run);
}

function withoutTrailingBlanks(row: readonly (Cell | undefined)[]): readonly (Cell | undefined)[] {
  let end = row.length;
  while (end > 0 && (row[end - 1]?.mark ?? ' ') === ' ') end -= 1;
  return row.slice(0, end);
}
