import type { Entry } from './kinds.ts';

/** Nesting beyond this is no entry of ours and is refused, so that no later walk over it can run out of stack. */
export const MAX_DEPTH = 32;

export function isTooDeep(value: unknown, depth = 0): boolean {
  if (typeof value !== 'object' || value === null) return false;
  if (depth >= MAX_DEPTH) return true;
  for (const key in value) if (isTooDeep((value as Record<string, unknown>)[key], depth + 1)) return true;
  return false;
}

/**
 * JSON text with the keys of every object sorted, no white space, numbers as ECMAScript writes them (RFC 8785 in
 * spirit): two contents are the same exactly where these texts are. Undefined fields count as absent.
 */
export function canonicalText(value: unknown): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map(canonicalText).join(',')}]`;
  const object = value as Record<string, unknown>;
  const parts: string[] = [];
  for (const key of Object.keys(object).sort()) {
    if (object[key] !== undefined) parts.push(`${JSON.stringify(key)}:${canonicalText(object[key])}`);
  }
  return `{${parts.join(',')}}`;
}

export const sameContent = (a: Entry, b: Entry): boolean => canonicalText(a) === canonicalText(b);

/** The line each entry was read from, kept beside it: the entry itself holds what the line says, not how. */
const lines = new WeakMap<Entry, string>();

/** Remembers the very text an entry came from, so that writing it again gives the same bytes. */
export function keepLine(entry: Entry, line: string): void {
  lines.set(entry, line);
}

/**
 * The line that stands for an entry in a file: the one it was read from, byte for byte, else its fields in the fixed
 * order id, tank, at, recorded, by, kind, body and any others after them, without white space.
 */
export const lineOf = (entry: Entry): string => lines.get(entry) ?? newLine(entry);

function newLine(entry: Entry): string {
  const { id, tank, at, recorded, by, kind, body, ...others } = entry;
  return JSON.stringify({ id, tank, at, recorded, by, kind, body, ...others });
}
