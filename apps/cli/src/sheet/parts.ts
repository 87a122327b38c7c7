import type { Ledger, Sheet, Stage } from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { columnsOf, padEnd, padStart, wrap } from '../paper/text.ts';
import { banded, dayMs, dayOf, figure, percent } from '../paper/words.ts';

/** The stages in words: what the bacteria are doing, not a score. */
export const stageWords: Readonly<Record<Stage, string>> = {
  waking: 'waking: nothing yet shows the bacteria at work',
  ammonia: 'ammonia: the first group is at work, the second hardly',
  nitrite: 'nitrite: ammonia is cleared, the second group is at work',
  proving: 'proving: both are cleared, and a challenge dose would show it',
  settling: 'settling: ready, and young',
  kept: 'kept: it has run clear for long',
};

/** A heading over a rule across the page. */
export function heading(face: Face, title: string, aside = ''): string {
  const left = face.ink('strong', title);
  const rest = face.width - columnsOf(title) - columnsOf(aside) - (aside === '' ? 1 : 2);
  const rule = face.ink('quiet', face.glyphs.rule.repeat(Math.max(0, rest)));
  return aside === '' ? `${left} ${rule}` : `${left} ${rule} ${face.ink('quiet', aside)}`;
}

/** The sentence that says where the tank stands, its ready window in the accent, and the line under it. */
export function openingOf(sheet: Sheet, face: Face): string[] {
  const lines = wrap(face.say(sheet.sentence), face.width);
  const emphasis = sheet.emphasis === null ? [] : face.say(sheet.emphasis).split(' ');
  const footing = wrap(face.say(sheet.footing), face.width).map((line) => face.ink('quiet', line));
  return [...emphasise(lines, emphasis, face), ...footing];
}

/** Inks a run of words that may be broken over lines. */
function emphasise(lines: readonly string[], run: readonly string[], face: Face): string[] {
  const words = lines.flatMap((line, row) => line.split(' ').map((word) => ({ word, row })));
  const start = words.findIndex((_, index) =>
    run.every((each, offset) => words[index + offset]?.word.startsWith(each)),
  );
  const inked = (index: number): boolean =>
    run.length > 0 && start >= 0 && index >= start && index < start + run.length;
  return lines.map((_, row) => {
    const here = words.flatMap(({ word, row: at }, index) =>
      at === row ? [{ word, accent: inked(index) }] : [],
    );
    const runs: { text: string; accent: boolean }[] = [];
    for (const { word, accent } of here) {
      const last = runs.at(-1);
      if (last && last.accent === accent) last.text += ` ${word}`;
      else runs.push({ text: word, accent });
    }
    return runs.map(({ text, accent }) => face.ink(accent ? 'accent' : 'strong', text)).join(' ');
  });
}

/** The chance of being ready by a few days of the window, as a line of dates with a probability under each. */
export function chancesOf(sheet: Sheet, face: Face): string[] {
  const { ready, asOf } = sheet.course;
  const today = Date.parse(asOf);
  const ahead = ready.byDay.filter(({ at }) => Date.parse(at) >= today);
  const last = ahead.at(-1);
  if (!last) return [];
  const wanted = [0.05, 0.25, 0.5, 0.75, 0.95].flatMap(
    (share) => ahead.find(({ probability }) => probability >= share) ?? [],
  );
  const days = [...new Set([ahead[0] ?? last, ...wanted, ...(wanted.length < 5 ? [last] : [])])];
  const columns = days.map(({ at, probability }) => {
    const date = Date.parse(at) - today < dayMs / 2 ? 'today' : `by ${dayOf(Date.parse(at))}`;
    const chance = percent(probability);
    const width = Math.max(columnsOf(date), columnsOf(chance)) + 3;
    return { date: padEnd(date, width), chance: padEnd(chance, width) };
  });
  const label = 'ready ';
  const fits = columns.filter((_, index) => {
    const upTo = columns
      .slice(0, index + 1)
      .reduce((sum, each) => sum + columnsOf(each.date), columnsOf(label));
    return upTo <= face.width + 3;
  });
  return [
    face.ink('quiet', (label + fits.map(({ date }) => date).join('')).trimEnd()),
    (' '.repeat(columnsOf(label)) + fits.map(({ chance }) => chance).join('')).trimEnd(),
  ];
}

/** What the two groups of bacteria could turn over today, with the band. */
export function capacitiesOf(sheet: Sheet, face: Face): string[] {
  const { ammonia, nitrite } = sheet.course.capacity;
  return [['ammonia', ammonia] as const, ['nitrite', nitrite] as const].map(
    ([name, band]) => `  ${padEnd(name, 11)}${padEnd(banded(band), 26)}${face.ink('quiet', band.unit)}`,
  );
}

/** Where the nitrogen is: a line a place that holds any, its median, its band and a bar of its share of what was put in. */
export function ledgerOf(ledger: Ledger, face: Face): string[] {
  const held = ledger.lines.filter((line) => line.p95 >= 0.0005);
  if (held.length === 0) return ['  none anywhere'];
  const most = Math.max(ledger.put.p50, ...held.map((line) => line.p50));
  const nameWidth = Math.max(...held.map((line) => line.place.length)) + 2;
  const figures = held.map((line) => figure(line.p50));
  const bands = held.map((line) => `(${figure(line.p05)} – ${figure(line.p95)})`);
  const figureWidth = Math.max(...figures.map(columnsOf));
  const bandWidth = Math.max(...bands.map(columnsOf)) + 2;
  const room = Math.max(0, Math.min(40, face.width - 2 - nameWidth - figureWidth - 1 - bandWidth));
  return held.map((line, index) => {
    const amounts = `${padStart(figures[index] ?? '', figureWidth)} ${face.ink('quiet', padEnd(bands[index] ?? '', bandWidth))}`;
    return `  ${padEnd(line.place, nameWidth)}${amounts}${barOf(most > 0 ? line.p50 / most : 0, room, face)}`.trimEnd();
  });
}

/** A bar of a share of the room, as fine as the marks allow. */
function barOf(share: number, room: number, face: Face): string {
  const { bar } = face.glyphs;
  const steps = bar.length - 1;
  const units = Math.round(share * room * steps);
  const full = bar[steps] ?? '';
  return full.repeat(Math.floor(units / steps)) + (bar[units % steps] ?? '');
}

/** Paragraphs set off by a dot, wrapped under themselves. */
export function points(texts: readonly string[], face: Face): string[] {
  return texts.flatMap((text) =>
    wrap(face.say(text), face.width - 4).map((line, index) => `${index === 0 ? '  · ' : '    '}${line}`),
  );
}
