import type { Order } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import type { BenchKit } from './reading.ts';

const FIRST = ['ammonia', 'nitrite', 'nitrate'];
const PLAIN = ['temperature', 'salinity', 'pH', 'alkalinity'] as const;

/** A kit the orders ask for, and at what dilution. */
export interface AskedFor {
  readonly kit: string;
  readonly dilution: number;
}

/** The tests due by the end of the day, in the order they are asked for; undefined where the orders ask for none. */
export function askedFor(orders: readonly Order[], until: number): readonly AskedFor[] | undefined {
  const due = orders.filter((order) => order.do === 'test' && Date.parse(order.when) <= until);
  const asked = due.flatMap((order) => (order.do === 'test' ? order.what.tests : []));
  const known = asked.flatMap(({ kit, dilution }) => (kit === null ? [] : [{ kit, dilution }]));
  return known.length === 0 ? undefined : known;
}

/** The tank's kits, those asked for first and then nitrogen, and the plain numbers that need no kit. */
export function kitsOn(
  facts: TankFacts,
  asked: readonly AskedFor[] = [],
): {
  readonly tests: readonly BenchKit[];
  readonly others: readonly BenchKit[];
} {
  const kits = [...facts.kits.values()];
  const rank = (analyte: string) => (FIRST.includes(analyte) ? FIRST.indexOf(analyte) : FIRST.length);
  const wanted = (kit: string) => {
    const place = asked.findIndex((one) => one.kit === kit);
    return place < 0 ? asked.length : place;
  };
  const tests = [...kits].sort((a, b) => wanted(a.kit) - wanted(b.kit) || rank(a.analyte) - rank(b.analyte));
  const others = PLAIN.filter((analyte) => !kits.some((kit) => kit.analyte === analyte));
  return { tests, others: others.map((analyte) => ({ kit: undefined, analyte })) };
}

/** What a row's draft is kept under. */
export const keyOf = ({ kit, analyte }: BenchKit) => kit ?? `plain ${analyte}`;
