import type { Order } from '@brinewright/counsel';
import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import { words } from '../words/index.ts';

/** As much of an order as the server's rounds tell. */
type Due = Pick<Order, 'urgency' | 'when'>;

/** When an order is due, as one would say it today. */
export function dueWords(order: Order | Due, now: number, dates: Dates): string {
  const of = words.orders;
  if (order.urgency === 'now') return of.now;
  if ('do' in order && order.do === 'wait')
    return order.what.until === null ? of.meanwhile : of.until(dates.day(Date.parse(order.what.until)));
  const when = Date.parse(order.when);
  if (when <= now || dates.day(when) === dates.day(now)) return of.today;
  return when - now < 6 * DAY_MS ? dates.longWeekday(when) : of.notBefore(dates.day(when));
}
