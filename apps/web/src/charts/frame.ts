import type { Series, Sheet } from '@brinewright/counsel';
import { topOf } from './levels.ts';
import { linear, type Scale } from './scale.ts';
import { instantOf, type Stretch } from './time.ts';

/** Where everything on a course chart lies, in pixels. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  /** Top of the ruled part, below the labels of today and of the ready window. */
  readonly top: number;
  /** Foot of the lowest panel. */
  readonly bottom: number;
  readonly x: Scale;
  readonly panels: readonly { readonly series: Series; readonly y: Scale }[];
}

const PANEL = { ammonia: 116, nitrite: 116, nitrate: 104 } as const;
const HEAD = 34;
const GAP = 10;
const LABELS = 32;
const FOOT = 84;

/** @param others a course drawn beside the sheet's own, which must find room too */
export function frameOf(
  sheet: Sheet,
  stretch: Stretch,
  width: number,
  others: readonly Series[] = [],
): Frame {
  const [left, right] = width < 520 ? [30, width - 4] : [44, width - 10];
  const from = instantOf(stretch, stretch.firstDay);
  const to = instantOf(stretch, stretch.lastDay);
  const inside = ({ at }: { readonly at: string }) => Date.parse(at) >= from && Date.parse(at) <= to;
  let y = LABELS + 8;
  const panels = sheet.course.series.map((series) => {
    const bottom = y + HEAD + PANEL[series.analyte];
    const readings = sheet.readings.filter((r) => r.analyte === series.analyte && inside(r));
    const other = others.find(({ analyte }) => analyte === series.analyte)?.points ?? [];
    const top = topOf([...series.points, ...other].filter(inside), readings);
    const panel = { series, y: linear([0, top], [bottom, y + HEAD]) };
    y = bottom + GAP;
    return panel;
  });
  const bottom = y - GAP;
  return {
    width,
    height: bottom + FOOT,
    left,
    right,
    top: LABELS,
    bottom,
    x: linear([from, to], [left, right]),
    panels,
  };
}
