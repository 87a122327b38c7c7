import { ammoniaTopic } from './ammonia.ts';
import { carbonateConstantsTopic } from './carbonate-constants.ts';
import { carbonateSystemTopic } from './carbonate-system.ts';
import { instrumentsTopic } from './instruments.ts';
import { mixingTopic } from './mixing.ts';
import { oxygenTopic } from './oxygen.ts';
import { pHScalesTopic } from './ph-scales.ts';
import { reagentsTopic } from './reagents.ts';
import { numberIn, RowFault, type TableRow, textIn } from './row.ts';
import { salinityTopic } from './salinity.ts';
import { type Evaluator, evaluatorIn, type Topic } from './topic.ts';
import { unitsTopic } from './units.ts';

/** Topics in the order they are asked; conversions last, since their pattern is the widest. */
const topics: readonly Topic[] = [
  salinityTopic,
  instrumentsTopic,
  ammoniaTopic,
  pHScalesTopic,
  carbonateConstantsTopic,
  carbonateSystemTopic,
  oxygenTopic,
  mixingTopic,
  reagentsTopic,
  unitsTopic,
];

/** Rounding of decimal tolerances in binary, relative: a row exactly at its tolerance passes. */
const SLACK = 1e-9;

/** What became of one row. */
export type Verdict =
  | { outcome: 'passed' | 'failed'; quantity: string; computed: number; expected: number; tolerance: number }
  | { outcome: 'skipped'; quantity: string; reason: string };

function evaluatorOf(quantity: string): Evaluator {
  for (const topic of topics) {
    const evaluator = evaluatorIn(topic, quantity);
    if (evaluator) return evaluator;
  }
  throw new RowFault(`no function here gives the quantity "${quantity}"`);
}

/** The product's own value for a row. Throws `RowFault` where the row cannot be evaluated. */
export function evaluateRow(row: TableRow): number {
  const quantity = textIn(row, 'quantity');
  if (quantity === undefined) throw new RowFault('quantity is missing');
  const value = evaluatorOf(quantity)(row);
  if (!Number.isFinite(value)) throw new RowFault('these inputs lie where the relation has no value');
  return value;
}

/** Compares a row's `expected` with the product's own value, within its absolute `tolerance`. */
export function checkRow(row: TableRow): Verdict {
  const quantity = textIn(row, 'quantity') ?? '';
  try {
    const computed = evaluateRow(row);
    const expected = numberIn(row, 'expected');
    const tolerance = numberIn(row, 'tolerance');
    const within = Math.abs(computed - expected) <= tolerance * (1 + SLACK) + SLACK * Math.abs(expected);
    return { outcome: within ? 'passed' : 'failed', quantity, computed, expected, tolerance };
  } catch (error) {
    if (error instanceof RowFault) return { outcome: 'skipped', quantity, reason: error.message };
    throw error;
  }
}
