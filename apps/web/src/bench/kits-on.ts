import type { TankFacts } from '@brinewright/journal';
import type { BenchKit } from './reading.ts';

const FIRST = ['ammonia', 'nitrite', 'nitrate'];
const PLAIN = ['temperature', 'salinity', 'pH', 'alkalinity'] as const;

/** The tank's kits, nitrogen first, and the plain numbers that need no kit. */
export function kitsOn(facts: TankFacts): {
  readonly tests: readonly BenchKit[];
  readonly others: readonly BenchKit[];
} {
  const kits = [...facts.kits.values()];
  const rank = (analyte: string) => (FIRST.includes(analyte) ? FIRST.indexOf(analyte) : FIRST.length);
  const tests = [...kits].sort((a, b) => rank(a.analyte) - rank(b.analyte));
  const others = PLAIN.filter((analyte) => !kits.some((kit) => kit.analyte === analyte));
  return { tests, others: others.map((analyte) => ({ kit: undefined, analyte })) };
}

/** What a row's draft is kept under. */
export const keyOf = ({ kit, analyte }: BenchKit) => kit ?? `plain ${analyte}`;
