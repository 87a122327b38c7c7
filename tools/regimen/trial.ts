import { type Random, stream } from '../calibration/random.ts';
import { drawWorld, type World } from '../virtual/world.ts';
import { byOrders, type Watch } from './by-orders.ts';
import type { Outcome } from './outcome.ts';
import { byRuleOfThumb, type Rule, rules } from './rule-of-thumb.ts';

export type Keeper = Rule | 'orders';
export const keepers: readonly Keeper[] = [...rules, 'orders'];

/** The same tank started by every keeper, each with the same troubles and the same eyes. */
export interface Trial {
  readonly beginning: World['beginning'];
  readonly troubles: World['troubles'];
  readonly outcomes: Readonly<Record<Keeper, Outcome>>;
}

export function trialOf(seed: number, particles: number, watch?: Watch): Trial {
  const world = (): World => drawWorld(stream(seed, 1));
  const random = (): Random => stream(seed, 2);
  const { beginning, troubles } = world();
  const byRule = (rule: Rule): Outcome => byRuleOfThumb(world(), random(), rule);
  return {
    beginning,
    troubles,
    outcomes: {
      'gone-in-a-day': byRule('gone-in-a-day'),
      'both-zero': byRule('both-zero'),
      'zero-for-a-week': byRule('zero-for-a-week'),
      'six-weeks': byRule('six-weeks'),
      orders: byOrders(world(), random(), particles, watch),
    },
  };
}
