import type { Bearings } from '../orders/bearings.ts';
import type { Order } from '../orders/order.ts';
import { ammoniaOrders } from './ammonia.ts';
import { conditions } from './conditions.ts';
import type { Exposure } from './exposure.ts';
import { breathOrder, shockOrder } from './sign-orders.ts';
import { unreadyOrder } from './unready.ts';

/** Everything the animals present need before any other advice; empty where there are none. */
export function welfareOrders(bearings: Bearings, exposure: Exposure | undefined): Order[] {
  const shock = shockOrder(bearings);
  if (!exposure) return shock;
  const ammonia = ammoniaOrders(bearings, exposure);
  return [...shock, ...breathOrder(bearings), ...ammonia, ...conditions(bearings), ...unreadyOrder(bearings)];
}
