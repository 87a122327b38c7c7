import { newEntryId } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';

describe('ids of version 7', () => {
  it('gives the example of RFC 9562, appendix A.6', () => {
    const random = Uint8Array.of(0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f);
    expect(newEntryId(0x017f22e279b0, random)).toBe('017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
  });

  it('sorts by the clock', () => {
    const full = new Uint8Array(10).fill(255);
    const empty = new Uint8Array(10);
    expect(newEntryId(999, full) < newEntryId(1000, empty)).toBe(true);
  });

  it('sets version and variant whatever the random bytes', () => {
    for (const byte of [0, 255]) {
      expect(newEntryId(0, new Uint8Array(10).fill(byte))).toMatch(/^.{8}-.{4}-7.{3}-[89ab].{3}-.{12}$/);
    }
  });

  it('refuses a clock or randomness it cannot use', () => {
    expect(() => newEntryId(-1, new Uint8Array(10))).toThrow(/-1 is not a count of milliseconds/);
    expect(() => newEntryId(0.5, new Uint8Array(10))).toThrow(RangeError);
    expect(() => newEntryId(2 ** 48, new Uint8Array(10))).toThrow(RangeError);
    expect(() => newEntryId(0, new Uint8Array(9))).toThrow(/ten random bytes are needed, 9/);
  });
});
