import type { KitBody, Stamped } from '@brinewright/journal';
import type { Bearings } from './bearings.ts';
import type { TestToDo } from './order.ts';

/** The kit an analyte was last read with, else the last one described; undefined where the journal describes none. */
export function kitOf({ facts }: Bearings, analyte: string): Stamped<KitBody> | undefined {
  const used = facts.readings.findLast((reading) => reading.analyte === analyte && reading.kit !== undefined);
  const kit = used?.kit === undefined ? undefined : facts.kits.get(used.kit);
  return kit ?? [...facts.kits.values()].findLast((one) => one.analyte === analyte);
}

/** A test of an analyte with the keeper's own kit. */
export const testOf = (bearings: Bearings, analyte: string, dilution = 1): TestToDo => ({
  analyte,
  kit: kitOf(bearings, analyte)?.kit ?? null,
  dilution,
});
