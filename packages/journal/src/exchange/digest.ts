/**
 * A 52-bit digest of JSON data that does not depend on the order of keys: for telling whether two contents that
 * should be equal are. Equal data gives equal digests; different data gives equal digests once in 10¹⁵ times, and no
 * defence against an adversary is meant.
 */
export function digest(data: unknown): number {
  if (typeof data !== 'object' || data === null) return hash(`${typeof data} ${data}`, 0);
  let sum = Array.isArray(data) ? 1 : 0;
  for (const [key, value] of Object.entries(data)) sum = (sum + hash(key, digest(value))) % LIMIT;
  return hash('', sum);
}

const LIMIT = 2 ** 52;

/** Two lanes over UTF-16 code units: FNV-1a (Fowler, Noll and Vo; RFC 9923) and a polynomial. */
function hash(text: string, seed: number): number {
  let fnv = (Math.imul(0x811c9dc5 ^ (seed / 0x1_0000_0000), 0x01000193) ^ seed) | 0;
  let polynomial = Math.imul(seed | 0, 0x9e3779b1) ^ (seed / 0x1_0000_0000);
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    fnv = Math.imul(fnv ^ unit, 0x01000193);
    polynomial = (Math.imul(polynomial, 0x9e3779b1) + unit) | 0;
  }
  fnv = Math.imul(fnv ^ (fnv >>> 15), 0x01000193);
  return (fnv >>> 12) * 0x1_0000_0000 + (polynomial >>> 0);
}
