import { describe, expect, it } from 'vitest';
import { ideaWords, outcomeWords } from '../src/ahead/say-what-if.ts';
import { scoreOf } from '../src/ahead/score.ts';
import { windowWords } from '../src/charts/windows.tsx';
import { datesIn } from '../src/format/dates.ts';
import { printFor } from '../src/format/print.ts';
import { pathOf } from '../src/label/code.tsx';
import { skerrySheet } from './fixtures/sheet.ts';

const print = printFor({ volume: 'L', temperature: '°C', locale: 'en-GB', timeZone: 'UTC' });
const customary = printFor({ volume: 'gal', temperature: '°F', locale: 'en-US', timeZone: 'UTC' });
const { course, readings } = skerrySheet;
const said = (laterDays: { p05: number; p50: number; p95: number } | null) =>
  outcomeWords(
    { idea: { do: 'no-culture' }, ready: course.ready, series: [], laterDays },
    course.ready,
    print,
  );

describe('what if', () => {
  it('says a difference of temperatures without the zero of the scale', () => {
    expect(ideaWords({ do: 'warmer', byC: 2 }, print)).toBe('2\u00a0°C warmer from tomorrow on');
    expect(ideaWords({ do: 'warmer', byC: 2 }, customary)).toBe('3.6\u00a0°F warmer from tomorrow on');
  });

  it.each([
    [{ p05: 3.2, p50: 17.1, p95: 42.6 }, 'That is 17 days later (nine times in ten 3 to 43).'],
    [{ p05: -3.1, p50: -1.2, p95: 0.1 }, 'That is 1 day sooner (nine times in ten 0 to 3).'],
    [{ p05: -2, p50: 1, p95: 3 }, 'That is 1 day later (nine times in ten 2 sooner to 3 later).'],
    [{ p05: -1.1, p50: -0.2, p95: 2 }, 'nine times in ten from 1 sooner to 2 later, in days.'],
    [{ p05: -0.3, p50: 0, p95: 0.4 }, 'It makes no difference to the ready date worth a day.'],
  ])('%j', (laterDays, words) => {
    expect(said(laterDays)).toContain(words);
  });

  it('says no difference where too few particles have one', () => {
    expect(said(null)).toBe('Then ready between 30 Nov and 9 Dec. The plan says between 30 Nov and 9 Dec.');
  });
});

describe('an earlier forecast', () => {
  it('is scored on what was read after it, and on nothing else', () => {
    expect(scoreOf(skerrySheet, readings)).toEqual({ all: 0, inside: 0 });
    const earlier = { ...skerrySheet, course: { ...course, asOf: '2026-11-15T16:00:00.000Z' } };
    const later = readings.filter(({ at }) => at > earlier.course.asOf);
    // Nitrate read 4.5 to 9 mg/L as N: far above the band.
    expect(scoreOf(earlier, readings)).toEqual({ all: later.length, inside: later.length - 1 });
  });
});

describe('a ready window in the rounds', () => {
  const dates = datesIn('en-GB', 'UTC');
  const now = Date.parse(course.asOf);
  const withReady = (ready: Partial<typeof course.ready>, stage = course.stage) => ({
    ...skerrySheet,
    course: { ...course, stage, ready: { ...course.ready, ...ready } },
  });

  it('is said in a few words, whatever is known of it', () => {
    expect(windowWords(skerrySheet, now, dates)).toBe('30 Nov–9 Dec');
    expect(windowWords(withReady({ p95: null }), now, dates)).toBe('not before 30 Nov');
    expect(windowWords(withReady({ p05: null, p50: null, p95: null }), now, dates)).toBe('no date in sight');
    const past = { p05: '2026-11-20T00:00:00Z', p50: '2026-11-21T00:00:00Z', p95: '2026-11-22T00:00:00Z' };
    expect(windowWords(withReady(past, 'proving'), now, dates)).toBe('clear now');
    expect(windowWords(withReady(past, 'nitrite'), now, dates)).toBe('no date in sight');
  });
});

describe('a square code', () => {
  it('draws every dark square once', () => {
    const path = pathOf([
      [true, true, false],
      [false, false, false],
      [true, false, true],
    ]);
    expect(path).toBe('M0,0h2v1h-2zM0,2h1v1h-1zM2,2h1v1h-1z');
  });
});
