/** Object identifier of the type `text`, the same in every PostgreSQL. */
const TEXT = 25;

/**
 * Texts as the bytes of a `text[]`, in PostgreSQL's binary form: dimensions, whether any is null, type of the elements,
 * length, first index, then each with its length before it. The driver would write an array as one text with every
 * quote and backslash marked, which takes it longer than all else, and the database then as long to read.
 */
export function textArray(texts: readonly string[]): Buffer {
  const sizes = texts.map((text) => Buffer.byteLength(text));
  const bytes = Buffer.allocUnsafe(20 + sizes.reduce((sum, size) => sum + 4 + size, 0));
  let at = 0;
  for (const head of [1, 0, TEXT, texts.length, 1]) at = bytes.writeInt32BE(head, at);
  for (const [n, text] of texts.entries()) {
    at = bytes.writeInt32BE(sizes[n] as number, at);
    at += bytes.write(text, at);
  }
  return bytes;
}
