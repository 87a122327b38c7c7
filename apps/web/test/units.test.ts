import { expect, it } from 'vitest';
import { printFor } from '../src/format/print.ts';
import { usualUnits } from '../src/format/units.ts';

it.each([
  ['en-GB', 'L', '°C'],
  ['pt-PT', 'L', '°C'],
  ['en-US', 'gal', '°F'],
  ['es-US', 'gal', '°F'],
  // Without a region the likeliest one of the language counts (CLDR, likely subtags).
  ['en', 'gal', '°F'],
  ['de', 'L', '°C'],
])('a reader in %s usually has %s and %s', (locale, volume, temperature) => {
  expect(usualUnits(locale)).toEqual({ volume, temperature });
});

it('writes a date as the sentences do, wherever the reader is', () => {
  const { dates } = printFor({ volume: 'gal', temperature: '°F', timeZone: 'UTC' });
  expect(dates.day(Date.UTC(2026, 10, 28))).toBe('28 Nov');
  expect(dates.weekday(Date.UTC(2026, 10, 28))).toBe('Sat 28 Nov');
  expect(dates.clock(Date.UTC(2026, 10, 28, 20, 5))).toBe('20:05');
});
