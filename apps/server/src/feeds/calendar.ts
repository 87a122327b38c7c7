import { createHash } from 'node:crypto';
import type { Order } from '@brinewright/counsel';
import { ICalAlarmType, ICalCalendar, ICalCalendarMethod } from 'ical-generator';
import type { Due } from './due.ts';

/** How long an order takes in the calendar, ms. */
const QUARTER = 15 * 60_000;

/**
 * Orders as a calendar (RFC 5545): the same orders give the same bytes, and an order that moves stays the same event.
 * Waiting is not an event. What is due within the week reminds; the rest lies there quietly.
 */
export function calendarOf(tanks: readonly Due[]): string {
  const calendar = new ICalCalendar({
    name: 'Tanks',
    prodId: { company: 'Brinewright', product: 'Orders', language: 'EN' },
    method: ICalCalendarMethod.PUBLISH,
    ttl: 3600,
  });
  for (const { tank, name, asOf, orders, accepted } of tanks) {
    for (const order of orders.filter((one) => one.do !== 'wait'))
      addEvent(calendar, {
        uid: uidOf(tank, order.key),
        stamp: asOf ?? 0,
        when: Date.parse(order.when),
        summary: `${name}: ${order.say}`,
        description: reasonsOf(order),
        reminds: order.urgency !== 'whenever',
      });
    for (const order of accepted)
      addEvent(calendar, {
        uid: uidOf(tank, order.id),
        stamp: Date.parse(order.decidedAt),
        when: Date.parse(order.when),
        summary: `${name}: ${order.say}`,
        description: 'Proposed by a mentor and accepted by a keeper.',
        reminds: order.urgency !== 'whenever',
      });
  }
  return calendar.toString();
}

interface EventFacts {
  readonly uid: string;
  readonly stamp: number;
  readonly when: number;
  readonly summary: string;
  readonly description: string;
  readonly reminds: boolean;
}

function addEvent(calendar: ICalCalendar, facts: EventFacts): void {
  const { uid, stamp, when, summary, description, reminds } = facts;
  const event = calendar.createEvent({
    id: uid,
    stamp: new Date(stamp),
    start: new Date(when),
    end: new Date(when + QUARTER),
    summary,
    description,
  });
  if (reminds) event.createAlarm({ type: ICalAlarmType.display, trigger: 0, description: summary });
}

/** Says nothing of the tank to whoever sees the calendar. */
const uidOf = (tank: string, key: string): string =>
  `${createHash('sha256').update(`${tank} ${key}`).digest('hex').slice(0, 32)}@brinewright`;

const reasonsOf = ({ because, cautions, holdsWhile }: Order): string =>
  [
    ...because.map(({ fact, source }) => (source === undefined ? fact : `${fact} (${source})`)),
    `It stands while ${holdsWhile}.`,
    ...cautions.map(({ wording, deferTo }) => `Take care: ${wording} Ask: ${deferTo}.`),
  ].join('\n');
