import { reckon, SituationError, sheetOf } from '@brinewright/counsel';
import { entriesAsOf, entryOfLine, foldTank } from '@brinewright/journal';
import type { Question, Reply } from './reckoner.ts';

/** The answer to a question, reckoned here and now. */
export function answer({ tank, lines, asOf, days, seed }: Question): Reply {
  const facts = foldTank(entriesAsOf(lines.map(entryOfLine), asOf), tank);
  try {
    const steps = reckon(facts, { asOf, days, seed });
    for (;;) {
      const step = steps.next();
      if (step.done) return { ok: true, sheet: JSON.stringify(sheetOf(step.value)), name: facts.name };
    }
  } catch (error) {
    if (error instanceof SituationError) return { ok: false, cannot: error.message };
    throw error;
  }
}
