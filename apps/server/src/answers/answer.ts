import { ordersOf, reckon, SituationError, sheetOf } from '@brinewright/counsel';
import { entriesAsOf, entryOfLine, foldTank } from '@brinewright/journal';
import type { Question, Reply } from './reckoner.ts';

/** The answer to a question, reckoned here and now. */
export function answer({ tank, lines, asOf, days, seed }: Question): Reply {
  const facts = foldTank(entriesAsOf(lines.map(entryOfLine), asOf), tank);
  try {
    const steps = reckon(facts, { asOf, days, seed });
    let step = steps.next();
    while (!step.done) step = steps.next();
    const [sheet, orders] = [sheetOf(step.value), ordersOf(step.value)].map((part) => JSON.stringify(part));
    return { ok: true, name: facts.name, sheet: sheet as string, orders: orders as string };
  } catch (error) {
    if (error instanceof SituationError) return { ok: false, cannot: error.message };
    throw error;
  }
}
