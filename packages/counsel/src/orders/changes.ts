import type { Order } from './order.ts';

/** What became of earlier advice. */
export interface Changes {
  readonly added: readonly Order[];
  /** Orders no longer given, each with why. */
  readonly withdrawn: readonly { readonly order: Order; readonly why: string }[];
  /** Orders whose amounts or instant moved. */
  readonly altered: readonly { readonly from: Order; readonly to: Order }[];
}

/** Compares two lists of one tank by the keys of their orders. */
export function changes(previous: readonly Order[], next: readonly Order[]): Changes {
  const before = new Map(previous.map((order) => [order.key, order]));
  const after = new Map(next.map((order) => [order.key, order]));
  const emergency = next.find((order) => order.do === 'emergency' && !before.has(order.key));
  return {
    added: next.filter((order) => !before.has(order.key)),
    withdrawn: previous
      .filter((order) => !after.has(order.key))
      .map((order) => ({ order, why: whyWithdrawn(order, emergency) })),
    altered: next.flatMap((to) => {
      const from = before.get(to.key);
      return from && substance(from) !== substance(to) ? [{ from, to }] : [];
    }),
  };
}

const whyWithdrawn = (order: Order, emergency: Order | undefined): string =>
  emergency && order.do !== 'emergency'
    ? `Set aside for what is urgent now: ${emergency.say}`
    : `It stood while ${order.holdsWhile}; that is no longer so.`;

const substance = (order: Order): string => JSON.stringify([order.when, order.what]);
