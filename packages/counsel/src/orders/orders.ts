import type { Reckoning } from '../course/reckon.ts';
import { bufferOrders } from '../feeding/buffer.ts';
import { cultureOrders, feedingOrders } from '../feeding/feeding.ts';
import { nextTestOrders } from '../next-test/next-test.ts';
import { postureOrders } from '../posture/posture.ts';
import { proofOf } from '../readiness/proof.ts';
import { readinessOrders } from '../readiness/readiness.ts';
import { excessOrders, resetOrders } from '../reset/reset.ts';
import { stallOrders } from '../stall/stall.ts';
import { exposureOf } from '../welfare/exposure.ts';
import { welfareOrders } from '../welfare/welfare.ts';
import { type Bearings, bearingsOf, type Intent, lastReading } from './bearings.ts';
import { mostUrgentFirst, type Order, type TestToDo } from './order.ts';

/**
 * What to do with a tank, most urgent first: every topic in a fixed order, so that the same facts give the same list
 * and a small change does not shuffle it.
 */
export function ordersOf(reckoning: Reckoning, intent: Intent = {}): Order[] {
  const bearings = bearingsOf(reckoning, intent);
  return listed(bearings, stallOrders(bearings));
}

/** The same but for what may hold the tank up, which takes seconds to weigh where something is suspected. */
export const firstOrdersOf = (reckoning: Reckoning, intent: Intent = {}): Order[] =>
  listed(bearingsOf(reckoning, intent), []);

function listed(bearings: Bearings, stall: readonly Order[]): Order[] {
  const all = settled(topics(bearings, stall));
  return mostUrgentFirst(all.map((one) => withoutRepeats(bearings, one)));
}

function topics(bearings: Bearings, stall: readonly Order[]): Order[] {
  const exposure = exposureOf(bearings.reckoning, bearings.animals);
  const proof = proofOf(bearings);
  const prove = readinessOrders(bearings, proof);
  return [
    ...welfareOrders(bearings, exposure),
    ...excessOrders(bearings),
    ...bufferOrders(bearings, exposure),
    ...prove,
    ...resetOrders(bearings, proof),
    ...(prove.some((order) => order.do === 'prove') ? [] : feedingOrders(bearings, proof)),
    ...cultureOrders(bearings, proof),
    ...nextTestOrders(bearings, proof, exposure),
    ...stall,
    ...postureOrders(bearings, proof),
  ];
}

/** Advice that another piece already covers, or that would work against it, is left out. */
function settled(orders: readonly Order[]): Order[] {
  const has = (key: string): boolean => orders.some((order) => order.key === key);
  return orders.filter((order) => {
    if (order.key === 'test') return !has('prove') && !has('welfare:check');
    if (order.key.startsWith('feed')) return !has('excess:ammonia') && !has('excess:nitrite');
    return true;
  });
}

/** Days for which a reading taken because something was suspected answers the suspicion. */
const answeredDays = 7;

/** A suspicion asks for its test once, not every evening it lasts. */
function withoutRepeats(bearings: Bearings, one: Order): Order {
  if (one.do !== 'test' || !one.key.startsWith('stall:')) return one;
  const answered = ({ analyte, dilution }: TestToDo): boolean => {
    const last = lastReading(bearings, analyte, answeredDays);
    return last !== undefined && (last.dilution ?? 1) >= dilution;
  };
  const tests = one.what.tests.filter((test) => !answered(test));
  return { ...one, what: { ...one.what, tests } };
}
