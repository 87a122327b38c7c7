import type { Sheet } from '@brinewright/counsel';
import { drawChart } from '../chart/chart.ts';
import type { Face } from '../paper/face.ts';
import { clip, wrap } from '../paper/text.ts';
import { figure, instantOf } from '../paper/words.ts';
import { capacitiesOf, chancesOf, heading, ledgerOf, openingOf, points, stageWords } from './parts.ts';

/** One tank on one page, read from top to bottom: where it stands, its course, and what that rests on. */
export function pageOf(sheet: Sheet, name: string, face: Face): string {
  const { course, ledger, doubts } = sheet;
  const asOf = instantOf(Date.parse(course.asOf));
  const title = clip(face.say(name), face.width - asOf.length - 4);
  const blocks = [
    [heading(face, title, asOf), '', ...openingOf(sheet, face)],
    [...wrap(`Stage ${stageWords[course.stage]}.`, face.width), ...chancesOf(sheet, face)],
    [heading(face, 'Course'), ...drawChart(sheet, face)],
    [heading(face, 'Turned over in a day', 'median and 90 % band'), ...capacitiesOf(sheet, face)],
    [heading(face, 'Nitrogen', `${putIn(sheet)} put in`), ...ledgerOf(ledger, face)],
    doubts.length === 0 ? [] : [heading(face, 'Not explained'), ...points(doubts, face)],
    [face.ink('quiet', restsOn(sheet))],
  ];
  const page = blocks.filter((lines) => lines.length > 0).map((lines) => lines.join('\n'));
  return face.spell(`${page.join('\n\n')}\n`);
}

function putIn({ ledger }: Sheet): string {
  const { p05, p50, p95 } = ledger.put;
  const unit = ledger.whole ? ledger.unit : `${ledger.unit}/L`;
  const band = figure(p05) === figure(p95) ? '' : ` (${figure(p05)} – ${figure(p95)})`;
  return `${figure(p50)}${band} ${unit}`;
}

function restsOn({ course }: Sheet): string {
  const { readingsUsed, effectiveSamples } = course.fit;
  const readings = readingsUsed === 1 ? '1 reading' : `${readingsUsed} readings`;
  return `Rests on ${readings}; ${Math.round(effectiveSamples)} effective samples.`;
}
