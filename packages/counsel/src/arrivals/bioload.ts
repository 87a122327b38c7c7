import type { Animals } from '@brinewright/journal';
import { bioloadTable } from './bioload-table.ts';

/** mg N/d of total ammonia from one animal of no particular class: a small fish, shrimp or snail (data/bioload.csv). */
const general: Readonly<Record<string, number>> = {
  fish: 2,
  crustacean: 0.2,
  mollusc: 0.1,
  echinoderm: 0.5,
  coral: 0,
  anemone: 0,
};

/** Excretion goes with mass to this power (Porter et al. 1987: W^0.75). */
const massPower = 0.75;

/**
 * Ammonia nitrogen an entry of animals sets free, mg N/d, from the table of loads scaled to length or mass; a class
 * the table lacks is taken as a small fish. Check: one small clownfish of 5 cm → 1.99.
 */
export function loadOf({ class: name, count, lengthCm, massG }: Animals): number {
  const row = bioloadTable.find((candidate) => candidate.class === name);
  if (!row) return count * (general[name] ?? 2);
  const typical = Math.max(0, row.typicalMgNPerDay ?? 0);
  const mass = massG ?? massAt(row.lengthWeightA, row.lengthWeightB, lengthCm);
  const scale = mass === undefined || !row.typicalMassG ? 1 : (mass / row.typicalMassG) ** massPower;
  // Single precision: engines differ in the last bit of a power, and answers must not.
  return Math.fround(count * typical * scale);
}

function massAt(a: number | null, b: number | null, lengthCm: number | undefined): number | undefined {
  return a === null || b === null || lengthCm === undefined ? undefined : a * lengthCm ** b;
}
