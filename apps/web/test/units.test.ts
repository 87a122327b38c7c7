import { expect, it } from 'vitest';
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
