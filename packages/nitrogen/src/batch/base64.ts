const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Bytes of base64 text (RFC 4648, section 4). Check: "AGFzbQ==" → 0, 97, 115, 109. */
export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const digits = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4));
  let bits = 0;
  let filled = 0;
  let at = 0;
  for (const letter of digits) {
    bits = ((bits << 6) | letters.indexOf(letter)) & 0xffff;
    filled += 6;
    if (filled < 8) continue;
    filled -= 8;
    bytes[at++] = (bits >> filled) & 0xff;
  }
  return bytes;
}
