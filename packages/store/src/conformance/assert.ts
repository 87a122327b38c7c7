import { canonicalText } from '@brinewright/journal';

/** @throws Error where two values are not the same JSON data */
export function same(actual: unknown, expected: unknown): void {
  const [found, wanted] = [canonicalText(actual), canonicalText(expected)];
  if (found !== wanted) throw new Error(`expected ${shown(wanted)}\nfound    ${shown(found)}`);
}

/** The error a call ends in. @throws Error where it ends well */
export async function rejects(call: () => Promise<unknown>): Promise<unknown> {
  try {
    await call();
  } catch (error) {
    return error;
  }
  throw new Error(`expected a refusal of ${call}`);
}

const shown = (text: string): string => (text.length > 2000 ? `${text.slice(0, 2000)}…` : text);
