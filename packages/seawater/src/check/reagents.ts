import { FormulaFault, molarMass } from '../formula.ts';
import { milliequivalentsPerGram, milligramsPerGram } from '../reagents.ts';
import { RowFault, type TableRow, textIn } from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

const needed = (row: TableRow, column: string): string => {
  const text = textIn(row, column);
  if (text === undefined) throw new RowFault(`${column} is missing`);
  return text;
};

/** A formula that cannot be read is a row that cannot be evaluated. */
const readable =
  (evaluate: Evaluator): Evaluator =>
  (row) => {
    try {
      return evaluate(row);
    } catch (error) {
      if (error instanceof FormulaFault) throw new RowFault(error.message);
      throw error;
    }
  };

/** Reagents by formula. */
export const reagentsTopic: Topic = {
  quantities: {
    molar_mass: readable((row) => molarMass(needed(row, 'formula'))),
    mg_element_per_g: readable((row) => milligramsPerGram(needed(row, 'formula'), needed(row, 'element'))),
    meq_alkalinity_per_g: readable((row) => milliequivalentsPerGram(needed(row, 'formula'))),
  },
};
