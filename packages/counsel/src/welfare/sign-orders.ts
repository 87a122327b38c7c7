import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { ExchangeSize, Order } from '../orders/order.ts';
import { signsOf } from './signs.ts';

/** Air outranks every chemistry rule (R-DO-1). */
export function breathOrder(bearings: Bearings): Order[] {
  const { facts, asOf, animals } = bearings;
  const sign = animals.present
    ? signsOf(facts, asOf, 1).findLast((found) => found.sign === 'gasping' || found.sign === 'power-cut')
    : undefined;
  if (!sign) return [];
  const cut = sign.sign === 'power-cut';
  return [
    order(bearings, {
      key: `welfare:${sign.sign}`,
      do: 'emergency',
      what: {
        exchange: noChange(bearings),
        stopFeeding: true,
        aerate: true,
        retestAfterHours: 1,
      },
      say: cut
        ? 'Power cut with animals in the water: give air by battery first, do not feed, keep the tank warm; after six hours without flow throw standing filter water away, test ammonia, and prove the filter again.'
        : 'Animals short of breath: air and surface movement first, then test oxygen if you can, ammonia, pH and temperature.',
      because: [
        { fact: `a note says: “${sign.text}”`, entry: sign.entry },
        { fact: 'want of oxygen kills sooner than anything a test shows', source: 'customary practice' },
      ],
      urgency: 'now',
      holdsWhile: 'a note of the last day speaks of it',
      cautions: cut ? ['CAU-E3', 'CAU-E6', 'CAU-X1'] : ['CAU-X1'],
    }),
  ];
}

/** An emergency in which changing water is not the remedy. */
export const noChange = ({ salinity, temperatureC }: Bearings): ExchangeSize => ({
  litres: 0,
  share: 0,
  times: 0,
  salinity,
  temperatureC,
  saltGrams: null,
});

/** A person's safety comes before the tank's. */
export function shockOrder(bearings: Bearings): Order[] {
  const sign = signsOf(bearings.facts, bearings.asOf, 3).findLast(({ sign }) => sign === 'shock');
  if (!sign) return [];
  return [
    order(bearings, {
      key: 'people:shock',
      do: 'emergency',
      what: {
        exchange: noChange(bearings),
        stopFeeding: false,
        aerate: false,
        retestAfterHours: 0,
      },
      say: 'Do not touch the water. Cut the power at the board from a dry place and have a qualified electrician find the faulty device.',
      because: [{ fact: `a note says: “${sign.text}”`, entry: sign.entry }],
      urgency: 'now',
      holdsWhile: 'a note of the last three days speaks of a shock',
      cautions: ['CAU-E5', 'CAU-E1'],
    }),
  ];
}
