import type { DrawnReading } from '@brinewright/counsel';
import type { Glyphs } from '../paper/face.ts';
import type { Level } from './curve.ts';
import type { Plane } from './plane.ts';
import type { LevelScale, TimeScale } from './scale.ts';

/** One analyte's part of the chart: where it lies on the plane and what is drawn in it. */
export interface Panel {
  readonly plane: Plane;
  /** Column of the plane where the time scale begins. */
  readonly left: number;
  readonly topRow: number;
  readonly rows: number;
  readonly time: TimeScale;
  readonly level: LevelScale;
  readonly glyphs: Glyphs;
}

/** Bits of Unicode's braille block, by column (0, 1) and row (0 to 3) of the dot within its cell. */
const dots = [
  [0x01, 0x02, 0x04, 0x40],
  [0x08, 0x10, 0x20, 0x80],
] as const;

/** Row of a level counted from the panel's top, in `lines` equal lines; levels above the top stay on its edge. */
const lineOf = (panel: Panel, value: number, lines: number): number => {
  const share = Math.min(1, Math.max(0, value / panel.level.top));
  return Math.round((1 - share) * (lines - 1));
};

/** The forecast: its 90 % band stippled, its middle a line, broken after `today`. */
export function drawForecast(panel: Panel, curve: (ms: number) => Level | undefined, today: number): void {
  if (panel.glyphs.braille) drawDots(panel, curve, today);
  else drawCharacters(panel, curve, today);
}

function drawDots(panel: Panel, curve: (ms: number) => Level | undefined, today: number): void {
  const { time, rows } = panel;
  const across = time.columns * 2;
  const down = rows * 4;
  const band = new Uint8Array(time.columns * rows);
  const line = new Uint8Array(time.columns * rows);
  const dot = (layer: Uint8Array, x: number, y: number): void => {
    const cell = (y >> 2) * time.columns + (x >> 1);
    layer[cell] = (layer[cell] ?? 0) | (dots[x & 1 ? 1 : 0][y & 3] ?? 0);
  };
  let before: number | undefined;
  for (let x = 0; x < across; x += 1) {
    const at = time.at((x + 0.5) / 2);
    const level = curve(at);
    if (!level) continue;
    const high = lineOf(panel, level.p95, down);
    const low = lineOf(panel, level.p05, down);
    for (let y = high; y <= low; y += 1) if ((x + y) % 2 === 0) dot(band, x, y);
    const middle = lineOf(panel, level.p50, down);
    const drawn = at <= today || x % 4 < 2;
    const start = before === undefined ? middle : before + Math.sign(middle - before);
    for (const y of between(start, middle)) if (drawn) dot(line, x, y);
    before = middle;
  }
  for (let cell = 0; cell < line.length; cell += 1) {
    const bits = line[cell] || band[cell] || 0;
    if (bits === 0) continue;
    const [column, row] = [cell % time.columns, Math.floor(cell / time.columns)];
    const mark = String.fromCodePoint(0x2800 + bits);
    panel.plane.put(panel.left + column, panel.topRow + row, mark, line[cell] ? 'body' : 'quiet');
  }
}

/** Whole numbers from one to another, both included, in either direction. */
function between(from: number, to: number): number[] {
  const step = to < from ? -1 : 1;
  return Array.from({ length: Math.abs(to - from) + 1 }, (_, index) => from + index * step);
}

function drawCharacters(panel: Panel, curve: (ms: number) => Level | undefined, today: number): void {
  const { time, rows, plane, glyphs } = panel;
  let before: number | undefined;
  for (let column = 0; column < time.columns; column += 1) {
    const at = time.at(column + 0.5);
    const level = curve(at);
    if (!level) continue;
    const put = (row: number, mark: string): void =>
      plane.put(panel.left + column, panel.topRow + row, mark, 'body');
    for (const row of between(lineOf(panel, level.p95, rows), lineOf(panel, level.p05, rows)))
      put(row, glyphs.band.charAt(0));
    const middle = lineOf(panel, level.p50, rows);
    const start = before === undefined ? middle : before + Math.sign(middle - before);
    for (const row of between(start, middle)) put(row, (at <= today ? glyphs.line : glyphs.ahead).charAt(0));
    before = middle;
  }
}

/** A reading as the interval of levels its kit allows; an arrow where the card ends below the water. */
export function drawReading(panel: Panel, reading: DrawnReading): void {
  const { plane, glyphs, time, rows, topRow, left } = panel;
  const column = Math.floor(time.column(Date.parse(reading.at)));
  if (column < 0 || column >= time.columns) return;
  const beyond = reading.high === null || reading.high > panel.level.top * 1.02;
  const foot = lineOf(panel, reading.low, rows);
  const head = reading.high === null || beyond ? 0 : lineOf(panel, reading.high, rows);
  const put = (row: number, mark: string): void => plane.put(left + column, topRow + row, mark, 'accent');
  for (let row = head; row <= foot; row += 1) put(row, glyphs.readingStem);
  put(foot, head === foot && foot < rows - 1 ? glyphs.readingPoint : glyphs.readingFoot);
  if (head < foot || beyond) put(head, beyond ? glyphs.readingBeyond : glyphs.readingTop);
}

/** Hatches the empty cells between two instants. */
export function drawWindow(panel: Panel, from: number, to: number): void {
  const { plane, glyphs, time, rows, topRow, left } = panel;
  const first = Math.max(0, Math.floor(time.column(from)));
  const last = Math.min(time.columns - 1, Math.floor(time.column(to)));
  for (let column = first; column <= last; column += 1)
    for (let row = 0; row < rows; row += 1)
      if ((column + row) % 4 === 0 && plane.isEmpty(left + column, topRow + row))
        plane.put(left + column, topRow + row, glyphs.hatch, 'hatch');
}

/** The line between what was and what is forecast, in the cells left empty and over the band's shading. */
export function drawToday(panel: Panel, today: number): void {
  const { plane, glyphs, time, rows, topRow, left } = panel;
  const column = Math.floor(time.column(today));
  if (column < 0 || column >= time.columns) return;
  for (let row = 0; row < rows; row += 1)
    if (plane.isEmpty(left + column, topRow + row))
      plane.put(left + column, topRow + row, glyphs.today, 'strong');
}

/** Values beside the panel and its left edge. */
export function drawLevels(panel: Panel, writeValue: (value: number) => string): void {
  const { plane, glyphs, rows, topRow, left, level } = panel;
  for (let row = 0; row < rows; row += 1) plane.put(left - 1, topRow + row, glyphs.axis, 'quiet');
  for (const tick of level.ticks) {
    const row = topRow + lineOf(panel, tick, rows);
    const text = writeValue(tick);
    plane.write(left - 2 - text.length, row, text, 'quiet');
    plane.put(left - 1, row, glyphs.tick, 'quiet');
  }
}
