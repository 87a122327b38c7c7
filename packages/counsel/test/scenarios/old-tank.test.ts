import { describe, expect, it } from 'vitest';
import { sheetOf, situationOf } from '../../src/index.ts';
import { culture, dose, factsOf, instant, kits, type Line, note, read, reckonAt, water } from './station.ts';

const dayMs = 86_400_000;
const at = (day: number): number => Date.parse(instant(day));

/** A start-up in three weeks, then fish, a weekly change, food every other day, and a look at the water each month. */
function kept(days: number, ammoniaOn: (day: number) => number = () => 0): readonly Line[] {
  const lines: Line[] = [water, ...kits, dose(0, 400), culture];
  lines.push(read(4, 'ammonia', 2), read(8, 'nitrite', 2), read(11, 'ammonia', 0), read(20, 'nitrite', 0));
  lines.push([25, 'arrival', { animals: [{ class: 'small_planktivore_clownfish', count: 2, lengthCm: 5 }] }]);
  for (let day = 26; day < days; day += 2) {
    lines.push([day, 'food', { what: 'pellet', grams: 0.5 }]);
    if (day % 14 === 0)
      lines.push([day + 0.5, 'exchange', { fraction: 0.15 }], read(day + 0.4, 'nitrate', 20));
    if (day % 28 === 0) lines.push(read(day + 0.45, 'ammonia', ammoniaOn(day)));
  }
  return lines;
}

/** First day of the fit, counted from the opening. */
function beginningOf(lines: readonly Line[], day: number): number {
  const { opened, firstOpened } = situationOf(factsOf(lines.filter(([on]) => on <= day)), at(day));
  return (opened - firstOpened) / dayMs;
}

describe('an old tank', () => {
  it('is followed from its opening for a year, then from four to six months back', () => {
    const lines = kept(900);
    expect(beginningOf(lines, 364)).toBe(0);
    for (let day = 365; day < 900; day += 17) {
      const reach = day - beginningOf(lines, day);
      expect(reach).toBeGreaterThanOrEqual(120);
      expect(reach).toBeLessThan(180);
    }
  });

  it('begins at the same day for two months, so that its fit can be carried on', () => {
    const lines = kept(900);
    const begins = Array.from({ length: 60 }, (_, i) => beginningOf(lines, 720 + i));
    expect(new Set(begins)).toEqual(new Set([600]));
    expect(beginningOf(lines, 780)).toBe(660);
  });

  it('begins before the last time its ammonia rose, however long ago that is', () => {
    const risen = kept(900, (day) => (day > 450 && day < 560 ? 0.5 : 0));
    expect(beginningOf(risen, 640)).toBe(420);
    expect(beginningOf(risen, 899)).toBe(720);
  });

  it('is followed whole where nothing shows that it ever was clear, or nobody says that it was fed', () => {
    const unread = kept(700).filter(([, kind]) => kind !== 'reading');
    expect(beginningOf(unread, 699)).toBe(0);
    const unfed = kept(700).filter(([, kind]) => kind !== 'food' && kind !== 'arrival');
    expect(beginningOf(unfed, 699)).toBe(0);
  });

  it('takes its age, its salt and the nitrate it had gathered from before', () => {
    const { problem, facts } = situationOf(factsOf(kept(700)), at(700));
    expect(problem.start).toBe('mature');
    expect(problem.salinity).toBe(situationOf(factsOf(kept(300)), at(300)).problem.salinity);
    // 20 mg/L as NO3 is 4.52 mg/L as N.
    expect(problem.deeds[0]).toMatchObject({ kind: 'nitrate', day: 0, size: { form: 'known' } });
    expect(problem.deeds[0]).toHaveProperty('size.amount', expect.closeTo(4.52, 2));
    expect(problem.deeds.some(({ kind }) => kind === 'culture')).toBe(false);
    expect(facts.arrivals).toHaveLength(1);
    expect(problem.observations.length).toBeLessThan(25);
  });

  it('says on its sheet what is reckoned with, and counts its days from the opening', {
    timeout: 30_000,
  }, () => {
    const sheet = sheetOf(reckonAt([...kept(700), note(699, 'All well.')], 700));
    expect(sheet.course.fit.warnings[0]).toMatch(
      /^the tank is 700 days old and had long been proven by 2026-08-23: only what happened since then is reckoned with \(\d+ readings/,
    );
    expect(sheet.footing).toMatch(/^Day 700 since the opening/);
    expect(sheet.course.stage).toBe('kept');
    expect(sheet.deeds[0]).toMatchObject({ kind: 'opened', at: instant(0) });
    expect(Date.parse(sheet.course.series[0]!.points[0]!.at)).toBe(at(540));
  });
});
