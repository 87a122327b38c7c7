import type { DrawnDeed, DrawnReading, Sheet } from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { columnsOf } from '../paper/text.ts';
import { dayMs, dayOf } from '../paper/words.ts';
import { curveOf } from './curve.ts';
import { drawForecast, drawLevels, drawReading, drawToday, drawWindow, type Panel } from './panel.ts';
import { type Plane, plane } from './plane.ts';
import { dayTicks, levelScale, type TimeScale, timeScale } from './scale.ts';

const gutter = 7;
/** Six gaps between seven rows, so that two or three steps of a scale fall on rows alike. */
const panelRows = 7;
const titles = { ammonia: 'Ammonia', nitrite: 'Nitrite', nitrate: 'Nitrate' } as const;

/** What was done to the tank: one letter each in the row under the time axis. */
const deedLetters: Readonly<Record<DrawnDeed['kind'], { letter: string; word: string }>> = {
  opened: { letter: 'o', word: 'opened' },
  dose: { letter: 'd', word: 'dose' },
  culture: { letter: 'c', word: 'culture' },
  food: { letter: 'f', word: 'food' },
  exchange: { letter: 'w', word: 'water change' },
  arrival: { letter: 'a', word: 'animals in' },
  loss: { letter: 'x', word: 'loss' },
};

/** The three forms of nitrogen on one time axis: bands, readings as intervals, today and the ready window. */
export function drawChart(sheet: Sheet, face: Face): string[] {
  const { course } = sheet;
  const start = Date.parse(course.series[0]?.points[0]?.at ?? course.asOf);
  // Days are counted from the opening, though the course of an old tank starts later.
  const opened = Date.parse(sheet.deeds.find(({ kind }) => kind === 'opened')?.at ?? course.asOf);
  const today = Date.parse(course.asOf);
  const [from, to] = spanOf(sheet, start, today);
  const time = timeScale(from, to, face.width - gutter - 1);
  const rows = 1 + course.series.length * (panelRows + 1) + 4;
  const page = plane(face.width, rows);
  const window = windowOf(sheet, time);
  writeHeadline(page, time, today, window);
  for (const [index, series] of course.series.entries()) {
    const topRow = 2 + index * (panelRows + 1);
    const readings = sheet.readings.filter((reading) => reading.analyte === series.analyte);
    const level = levelScale(mostOf(series.points, readings, time));
    const panel: Panel = {
      plane: page,
      left: gutter,
      topRow,
      rows: panelRows,
      time,
      level,
      glyphs: face.glyphs,
    };
    page.write(gutter, topRow - 1, titles[series.analyte], 'strong');
    page.write(
      gutter + titles[series.analyte].length + 1,
      topRow - 1,
      `${series.unit} as ${series.as}`,
      'quiet',
    );
    drawLevels(panel, (value) => String(Number(value.toPrecision(3))));
    drawForecast(panel, curveOf(series.points), today);
    drawToday(panel, today);
    if (window) drawWindow(panel, window.from, window.to);
    for (const reading of readings) drawReading(panel, reading);
  }
  const deeds = writeAxis(page, rows - 4, time, opened, sheet.deeds, face);
  return [...page.lines(face), ...keyOf(face, window !== undefined, deeds)];
}

/** From where the course starts, or three months back in an older tank, to a little past the ready window. */
function spanOf(sheet: Sheet, start: number, today: number): [number, number] {
  const { ready, series } = sheet.course;
  const horizon = Date.parse(series[0]?.points.at(-1)?.at ?? sheet.course.asOf);
  const from = Math.max(start, today - 91 * dayMs);
  const soon = today + Math.max(14 * dayMs, (today - from) / 3);
  if (ready.p50 === null) return [from, ready.p05 === null ? Math.min(horizon, soon) : horizon];
  if (ready.p95 === null) return [from, horizon];
  const past = Date.parse(ready.p95) + Math.max(3 * dayMs, (Date.parse(ready.p95) - from) / 8);
  return [from, Math.min(horizon, Math.max(past, today + 7 * dayMs))];
}

/** The ready window where the chart shows any of it; open to the right where its end lies past the horizon. */
function windowOf(sheet: Sheet, time: TimeScale): { from: number; to: number; text: string } | undefined {
  const { p05, p95 } = sheet.course.ready;
  const today = Date.parse(sheet.course.asOf);
  if (p05 === null) return undefined;
  const from = Date.parse(p05);
  const to = p95 === null ? time.to : Date.parse(p95);
  if (from > time.to || to < time.from) return undefined;
  const first = from <= today && (p95 === null || to > today) ? 'now' : dayOf(from);
  return { from, to, text: p95 === null ? `ready from ${first} on` : `ready ${first} – ${dayOf(to)}` };
}

/** The highest level to make room for: all of the readings, and the band unless it towers over everything else. */
function mostOf(
  points: Sheet['course']['series'][number]['points'],
  readings: readonly DrawnReading[],
  time: TimeScale,
): number {
  const shown = points.filter(({ at }) => Date.parse(at) >= time.from && Date.parse(at) <= time.to);
  const band = Math.max(0, ...shown.map((point) => point.p95));
  const middle = Math.max(0, ...shown.map((point) => point.p50));
  const read = Math.max(0, ...readings.map((reading) => reading.high ?? reading.low * 1.25));
  return Math.max(read, Math.min(band, Math.max(middle, read) * 3));
}

/** The line above the panels: where today is, and what the hatching means. */
function writeHeadline(
  page: Plane,
  time: TimeScale,
  today: number,
  window: { from: number; text: string } | undefined,
) {
  const column = gutter + Math.floor(time.column(today));
  const start = Math.min(Math.max(gutter, column - 2), page.columns - 5);
  page.write(start, 0, 'today', 'strong');
  if (!window) return;
  const wanted = gutter + Math.max(0, Math.floor(time.column(window.from)));
  const length = columnsOf(window.text);
  const right = Math.max(wanted, start + 7);
  if (right + length <= page.columns)
    page.write(wanted + length + 2 <= start ? wanted : right, 0, window.text, 'accent');
  else page.write(Math.max(0, Math.min(start - 2, page.columns) - length), 0, window.text, 'accent');
}

/** The time axis in days and dates, and the row of deeds; returns the kinds of deed drawn. */
function writeAxis(
  page: Plane,
  row: number,
  time: TimeScale,
  opened: number,
  deeds: readonly DrawnDeed[],
  face: Face,
): Set<DrawnDeed['kind']> {
  const { glyphs } = face;
  const width = page.columns - gutter;
  page.write(gutter - 1, row, glyphs.corner + glyphs.floor.repeat(width), 'quiet');
  for (const day of dayTicks(time, opened, 9)) {
    const column = gutter + Math.floor(time.column(opened + day * dayMs));
    const labels = [day === 0 ? 'day 0' : String(day), dayOf(opened + day * dayMs)];
    page.put(column, row, glyphs.readingTop, 'quiet');
    for (const [index, label] of labels.entries())
      if (column + label.length <= page.columns) page.write(column, row + 2 + index, label, 'quiet');
  }
  const drawn = new Set<DrawnDeed['kind']>();
  for (const { at, kind } of deeds) {
    const column = Math.floor(time.column(Date.parse(at)));
    if (kind === 'opened' || column < 0 || column >= time.columns) continue;
    drawn.add(kind);
    page.put(gutter + column, row + 1, deedLetters[kind].letter, 'accent');
  }
  if (drawn.size > 0) page.write(0, row + 1, 'given', 'quiet');
  return drawn;
}

/** What the marks mean, in words, under the chart. */
function keyOf(face: Face, hasWindow: boolean, deeds: ReadonlySet<DrawnDeed['kind']>): string[] {
  const { glyphs } = face;
  const parts = [
    `${glyphs.band} 90 % band`,
    `${glyphs.line} median, ${glyphs.ahead.trim()} ahead`,
    `${glyphs.readingTop}${glyphs.readingFoot} reading, ${glyphs.readingBeyond} or more`,
    ...(hasWindow ? [`${glyphs.hatch} ready, 9 in 10`] : []),
    ...Object.entries(deedLetters).flatMap(([kind, { letter, word }]) =>
      deeds.has(kind as DrawnDeed['kind']) ? [`${letter} ${word}`] : [],
    ),
  ];
  const lines: string[] = [];
  for (const part of parts) {
    const last = lines.at(-1);
    if (last !== undefined && columnsOf(last) + columnsOf(part) + 3 <= face.width - gutter)
      lines[lines.length - 1] = `${last}   ${part}`;
    else lines.push(part);
  }
  return lines.map((line) => ' '.repeat(gutter) + face.ink('quiet', line));
}
