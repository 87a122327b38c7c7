import { type KitLore, learnKits, ordersOf, reckon, SituationError, sheetOf } from '@brinewright/counsel';
import { ended } from '@brinewright/evidence';
import { entriesAsOf, entryOfLine, foldTank, type TankFacts } from '@brinewright/journal';
import type { Journal, KitCounts, Question, Reckoned } from './reckoner.ts';

/** The answer to a question, reckoned here and now. */
export function answer(question: Question): Reckoned {
  const { asOf, days, seed, others = [], lore = new Map() } = question;
  const facts = factsOf(question, asOf);
  const kits = kitCounts(facts);
  try {
    const learnt = others.length === 0 ? lore : learntFrom(facts, others, question);
    const reckoning = ended(reckon(facts, { asOf, days, seed, lore: learnt }));
    const [sheet, orders] = [sheetOf(reckoning), ordersOf(reckoning)].map((part) => JSON.stringify(part));
    const reply = { ok: true, name: facts.name, sheet: sheet as string, orders: orders as string } as const;
    return { reply, kits, learnt };
  } catch (error) {
    if (!(error instanceof SituationError)) throw error;
    return { reply: { ok: false, cannot: error.message }, kits, learnt: lore };
  }
}

const factsOf = ({ tank, lines }: Journal, asOf: number): TankFacts =>
  foldTank(entriesAsOf(lines.map(entryOfLine), asOf), tank);

/** As of the last reading in any of them: the same journals teach the same on any day. */
function learntFrom(facts: TankFacts, others: readonly Journal[], { asOf, seed }: Question): KitLore {
  const told = others.map((other) => factsOf(other, asOf));
  const last = told.flatMap(({ readings }) => readings).reduce((latest, { at }) => Math.max(latest, at), 0);
  return ended(learnKits(facts, told, { asOf: last, seed }));
}

/** A kit that is declared nowhere has no card to learn of. */
function kitCounts({ readings, kits }: TankFacts): KitCounts {
  const counts: Record<string, number> = {};
  for (const { kit } of readings)
    if (kit !== undefined && kits.has(kit)) counts[kit] = (counts[kit] ?? 0) + 1;
  return counts;
}
