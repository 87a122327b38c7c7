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
});
