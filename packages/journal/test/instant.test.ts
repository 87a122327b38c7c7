import { instantMs, instantText } from '@brinewright/journal';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('RFC 3339 instants', () => {
  it.each([
    ['1970-01-01T00:00:00Z', 0],
    ['1970-01-01T01:00:00+01:00', 0],
    ['1985-04-12T23:20:50.52Z', 482196050520],
    ['1996-12-19T16:39:57-08:00', 851042397000],
    ['1937-01-01T12:00:27.87+00:20', -1041337172130],
    ['1990-12-31T23:59:60Z', 662688000000],
    ['2024-02-29T00:00:00z', 1709164800000],
    ['2025-03-01t18:00:00.123999Z', 1740852000123],
    ['0001-01-01T00:00:00Z', -62135596800000],
  ])('reads %s', (text, expected) => {
    expect(instantMs(text)).toBe(expected);
  });

  it.each([
    '2025-03-01',
    '2025-03-01T18:00:00',
    '2025-03-01T18:00Z',
    '2025-03-01 18:00:00Z',
    '2025-02-29T00:00:00Z',
    '2025-13-01T00:00:00Z',
    '2025-03-00T00:00:00Z',
    '2025-03-01T24:00:00Z',
    '2025-03-01T18:00:00+0100',
    '2025-03-01T18:00:00+24:00',
    'yesterday',
    '',
  ])('refuses "%s"', (text) => {
    expect(instantMs(text)).toBeUndefined();
  });

  it('reads back every millisecond it writes', () => {
    const range = { min: 0, max: Date.UTC(9999, 11, 31) };
    fc.assert(
      fc.property(fc.integer(range), (ms) => instantMs(instantText(ms)) === ms),
      { seed: 3339 },
    );
  });

  it('knows every day of the calendar, and no other', () => {
    for (const year of [0, 1, 4, 99, 100, 101, 399, 400, 401, 1900, 1972, 2000, 2024, 2025, 2100, 9999])
      for (let month = 0; month <= 13; month++)
        for (const day of [0, 1, 27, 28, 29, 30, 31, 32]) {
          const date = new Date(0);
          date.setUTCFullYear(year, month - 1, day);
          const isDay = date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
          const [y, m, d] = [
            String(year).padStart(4, '0'),
            ...[month, day].map((n) => String(n).padStart(2, '0')),
          ];
          expect(instantMs(`${y}-${m}-${d}T00:00:00Z`)).toBe(isDay ? date.getTime() : undefined);
        }
  });
});
