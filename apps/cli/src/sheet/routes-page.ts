import type { RouteOutlook } from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { padEnd, padStart, wrap } from '../paper/text.ts';
import { figure, percent } from '../paper/words.ts';
import { heading } from './parts.ts';

/** Heights of a hill, lowest first: how many of the starts are ready about a day. */
const heights = { unicode: [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'], plain: [' ', '.', ':', '=', '#'] };
const farthestDays = 120;

/** Every route under one axis of days: when such starts were ready, how sure, how many tests, and at whose cost. */
export function routesPage(routes: readonly RouteOutlook[], title: string, face: Face): string {
  const nameWidth = Math.min(34, Math.max(...routes.map((route) => route.title.length)));
  const numberWidth = 16;
  const room = Math.max(20, face.width - nameWidth - numberWidth - 4);
  const reach = Math.min(farthestDays, Math.max(30, 15 * Math.ceil(Math.max(...routes.map(lateDay)) / 15)));
  const perColumn = reach / room;
  const gap = ' '.repeat(nameWidth + 2);
  const lines = [
    heading(face, face.say(title), 'days until ready: middle, and 9 in 10'),
    '',
    ...routes.map(
      (route) =>
        `${padEnd(route.title, nameWidth)}  ${face.ink('accent', hill(route, room, perColumn, face))}  ${padStart(daysWords(route), numberWidth)}`,
    ),
    face.ink('quiet', gap + axis(room, reach)),
    '',
    ...routes.flatMap((route) => [...aboutLines(route, face), '']),
    ...wrap(
      'No animal is needed to start a tank. The routes with animals are shown so that their price is plain, not as advice.',
      face.width,
    ),
  ];
  return face.spell(`${lines.join('\n')}\n`);
}

const lateDay = ({ days }: RouteOutlook): number => days.p95 ?? farthestDays;

function daysWords({ days }: RouteOutlook): string {
  const said = (day: number | null): string => (day === null ? 'later' : day.toFixed(0));
  return `${said(days.p50)} (${said(days.p05)}–${said(days.p95)})`;
}

/** The density of ready days as a row of heights, each row's highest full. */
function hill({ byDay }: RouteOutlook, room: number, perColumn: number, face: Face): string {
  const marks = face.glyphs.braille ? heights.unicode : heights.plain;
  const chance = (day: number): number => {
    const whole = Math.min(byDay.length - 1, Math.floor(day));
    const next = Math.min(byDay.length - 1, whole + 1);
    return (byDay[whole] ?? 0) + (day - whole) * ((byDay[next] ?? 0) - (byDay[whole] ?? 0));
  };
  const columns = Array.from(
    { length: room },
    (_, column) => chance((column + 1) * perColumn) - chance(column * perColumn),
  );
  const smooth = columns.map(
    (value, i) => (value * 2 + (columns[i - 1] ?? value) + (columns[i + 1] ?? value)) / 4,
  );
  const most = Math.max(...smooth, 1e-9);
  return smooth
    .map((value) =>
      value < 0.004 * most
        ? ' '
        : (marks[Math.max(1, Math.round((value / most) * (marks.length - 1)))] ?? ' '),
    )
    .join('');
}

function axis(room: number, reach: number): string {
  let text = '';
  for (let day = 0; day <= reach; day += reach > 60 ? 30 : 15) {
    const at = Math.round((day / reach) * room);
    if (at >= text.length) text = padEnd(text, at) + String(day);
  }
  return text;
}

function aboutLines(route: RouteOutlook, face: Face): string[] {
  const { tests, cost, exposure, proofDays } = route;
  const facts = [
    `${capital(route.done)}.`,
    `About ${figure(tests.p50)} tests (${figure(tests.p05)}–${figure(tests.p95)})${proofDays > 0 ? `, ${proofDays} more days to prove it` : ''}.`,
    cost === null
      ? ''
      : `About ${figure(cost.p50)} (${figure(cost.p05)}–${figure(cost.p95)}) by your prices.`,
    exposure === null
      ? 'No animal is exposed.'
      : `Animals spend ${figure(exposure.hoursAbove.p50)} hours (${figure(exposure.hoursAbove.p05)}–${figure(exposure.hoursAbove.p95)}) in more ammonia than is of no concern; the chance that it becomes an emergency is ${percent(exposure.emergency)}.`,
    `Mind: ${route.worry}.`,
  ];
  const [first, ...rest] = wrap(facts.filter((fact) => fact !== '').join(' '), face.width - 2);
  return [face.ink('strong', capital(route.title)), ...[first ?? '', ...rest].map((line) => `  ${line}`)];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
