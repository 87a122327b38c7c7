import type { TableRow } from './row.ts';

/** Computes a quantity from the inputs of a row; throws `RowFault` where an input is missing or unknown. */
export type Evaluator = (row: TableRow) => number;

/** The quantities of one subject: by name, or by a pattern whose parts the evaluator needs. */
export type Topic = {
  quantities: Readonly<Record<string, Evaluator>>;
  families?: readonly {
    pattern: RegExp;
    evaluator: (parts: RegExpExecArray) => Evaluator;
  }[];
};

/** The evaluator of a quantity in a topic, if it has one. */
export function evaluatorIn({ quantities, families = [] }: Topic, quantity: string): Evaluator | undefined {
  const named = Object.hasOwn(quantities, quantity) ? quantities[quantity] : undefined;
  if (named) return named;
  for (const { pattern, evaluator } of families) {
    const parts = pattern.exec(quantity);
    if (parts) return evaluator(parts);
  }
  return undefined;
}
