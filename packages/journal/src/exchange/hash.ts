/**
 * A 53-bit digest of text, for telling apart contents that should be equal; no defence against an adversary.
 * Two lanes: FNV-1a (Fowler, Noll and Vo; RFC 9923) over UTF-16 code units, and a polynomial in the same units.
 */
export function hash53(text: string): number {
  let fnv = 0x811c9dc5;
  let polynomial = 0;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    fnv = Math.imul(fnv ^ unit, 0x01000193);
    polynomial = (Math.imul(polynomial, 0x9e3779b1) + unit) | 0;
  }
  return (fnv >>> 11) * 0x1_0000_0000 + (polynomial >>> 0);
}
