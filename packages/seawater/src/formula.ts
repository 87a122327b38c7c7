import { atomicWeights } from './atomic-weights.ts';

/** A chemical formula that cannot be read: which one, where, and what would help. */
export class FormulaFault extends Error {
  readonly formula: string;
  readonly position: number;

  constructor(formula: string, position: number, problem: string) {
    super(`cannot read the formula "${formula}" at character ${position + 1}: ${problem}`);
    this.name = 'FormulaFault';
    this.formula = formula;
    this.position = position;
  }
}

/** Atoms (or named groups) in one formula unit. */
export type Composition = ReadonlyMap<string, number>;

const CLOSING: Readonly<Record<string, string>> = { '(': ')', '[': ']', '{': '}' };
const HYDRATE_MARKS = '·•∙⋅*.';

/** Subscript digits written as plain ones, spaces and a trailing charge dropped. */
const plain = (formula: string): string =>
  formula
    .replace(/[₀-₉]/g, (digit) => String(digit.charCodeAt(0) - 0x2080))
    .replace(/\s+/g, '')
    .replace(/[+\-−]+$/, '');

/**
 * Counts the atoms of a formula: nested brackets, hydrates as `CaCl2(H2O)2`, `CaCl2·2H2O`, `CaCl2*2H2O` or
 * `CaCl2.2H2O`, subscript digits, a trailing charge (`NH4+`). Names in `groups` (such as `NO3`) are counted whole
 * wherever they stand, before elements are looked for.
 * Throws `FormulaFault`. Check: MgCl2(H2O)6 → Mg 1, Cl 2, H 12, O 6.
 */
export function compositionOf(formula: string, groups: readonly string[] = []): Composition {
  const text = plain(formula);
  if (text === '') throw new FormulaFault(formula, 0, 'it is empty');
  const counts = new Map<string, number>();
  let at = 0;

  const number = (pattern: RegExp): number | undefined => {
    const found = pattern.exec(text.slice(at))?.[0];
    at += found?.length ?? 0;
    return found === undefined ? undefined : Number(found);
  };
  const subscript = (): number => number(/^\d+/) ?? 1;
  const add = (name: string, count: number): void => {
    counts.set(name, (counts.get(name) ?? 0) + count);
  };

  /** One element or named group at the present position. */
  const symbol = (): string => {
    const rest = text.slice(at);
    const group = groups.find((name) => rest.startsWith(name) && !/^\d/.test(rest.slice(name.length)));
    const name = group ?? /^[A-Z][a-z]?/.exec(rest)?.[0];
    if (name === undefined) throw new FormulaFault(formula, at, `"${text[at]}" does not belong here`);
    if (group === undefined && atomicWeights[name] === undefined)
      throw new FormulaFault(formula, at, `"${name}" is not an element we know`);
    at += name.length;
    return name;
  };

  /** Reads up to `end`, returning what it counted, unmultiplied. */
  const sequence = (end: string | undefined): [string, number][] => {
    const parts: [string, number][] = [];
    while (
      at < text.length &&
      text[at] !== end &&
      !(end === undefined && HYDRATE_MARKS.includes(text[at]!))
    ) {
      const close = CLOSING[text[at]!];
      if (close === undefined) {
        const name = symbol();
        parts.push([name, subscript()]);
        continue;
      }
      const opened = at;
      at += 1;
      const inner = sequence(close);
      if (text[at] !== close) throw new FormulaFault(formula, opened, 'this bracket is never closed');
      at += 1;
      const times = subscript();
      for (const [name, count] of inner) parts.push([name, count * times]);
    }
    return parts;
  };

  while (at < text.length) {
    const coefficient = number(/^\d+(\.\d+)?/) ?? 1;
    const parts = sequence(undefined);
    if (parts.length === 0) throw new FormulaFault(formula, at, 'an element is expected here');
    for (const [name, count] of parts) add(name, count * coefficient);
    if (at < text.length) at += 1;
  }
  return counts;
}

/** Molar mass of a formula, g/mol. Check: NH4Cl → 53.491; MgCl2(H2O)6 → 203.303. */
export function molarMass(formula: string): number {
  let sum = 0;
  for (const [element, count] of compositionOf(formula)) sum += count * atomicWeights[element]!;
  return sum;
}
