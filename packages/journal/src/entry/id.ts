import type { EntryId, TankId } from './kinds.ts';

/**
 * A UUID of version 7 (RFC 9562, section 5.7): 48 bits of epoch milliseconds, then 74 random bits, so that ids made
 * later sort later. Pure: the clock's reading and the random bytes are passed in.
 * @param epochMs whole milliseconds, 0 to 2⁴⁸ − 1
 * @param random at least ten bytes from a good source
 * @throws RangeError where either is not so
 * Check (RFC 9562, appendix A.6): 1645557742000 with bytes 0C C3 18 C4 DC 0C 0C 07 39 8F gives
 * 017f22e2-79b0-7cc3-98c4-dc0c0c07398f.
 */
export function newEntryId(epochMs: number, random: Uint8Array): EntryId {
  return uuid7(epochMs, random) as EntryId;
}

/** As `newEntryId`, for a tank. */
export function newTankId(epochMs: number, random: Uint8Array): TankId {
  return uuid7(epochMs, random) as TankId;
}

function uuid7(epochMs: number, random: Uint8Array): string {
  if (!Number.isInteger(epochMs) || epochMs < 0 || epochMs >= 2 ** 48) {
    throw new RangeError(`${epochMs} is not a count of milliseconds from 0 to 2⁴⁸ − 1`);
  }
  if (random.length < 10) throw new RangeError(`ten random bytes are needed, ${random.length} were given`);
  const bytes = Array.from(random.subarray(0, 10));
  bytes[0] = ((bytes[0] ?? 0) & 0x0f) | 0x70;
  bytes[2] = ((bytes[2] ?? 0) & 0x3f) | 0x80;
  const hex = hexOf(epochMs, 12) + bytes.map((byte) => hexOf(byte, 2)).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

const hexOf = (value: number, digits: number): string => value.toString(16).padStart(digits, '0');
