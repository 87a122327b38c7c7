import { createHash } from 'node:crypto';
import type { TankId } from '@brinewright/journal';
import { newId } from '../crew/accounts.ts';
import { type Due, dueFor } from '../feeds/due.ts';
import { subscriptionsOf } from '../push/subscriptions.ts';
import type { Services } from '../services.ts';
import { LONGEST_PAUSE } from './pause.ts';
import { isQuiet, ownQuietHours, quietHoursOf } from './quiet.ts';

/** The same advice is not told of again within this time, however often it comes and goes, ms. */
const APART = 12 * 3_600_000;

interface DueAdvice {
  /** Names the same advice from day to day. */
  readonly key: string;
  readonly say: string;
  readonly urgent: boolean;
}

/**
 * Tells everyone who wants to be told what is due on their tanks: each piece of advice once while it stands, and not
 * in their own quiet hours or the tank's, which only what cannot wait breaks.
 */
export async function remindAll(services: Services): Promise<void> {
  const { database, mode, queue, now } = services;
  const accounts = await database.all<{ account: string }>(
    'select distinct account from push_subscription order by account',
  );
  for (const { account } of accounts) {
    if (mode.shared === (account === '')) continue;
    const all = await dueFor(services, { account: account === '' ? undefined : account });
    for (const tank of all) await remindOfTank(services, account, tank);
    await forgetTanksBut(services, account, new Set(all.map(({ tank }) => tank)));
  }
  // All that is there, so that what was noted by a process that then ended is sent too.
  // One due further ahead than any is put off was put off before the clock was set back.
  const waiting = await database.all<{ id: string }>(
    'select id from push_message where due <= $1 or due > $2 order by created, id',
    now(),
    now() + LONGEST_PAUSE,
  );
  for (const { id } of waiting) await queue.add('push', id, now());
}

async function remindOfTank(services: Services, account: string, due: Due): Promise<void> {
  const advice = dueNow(due, services.now());
  await forgetPast(services, account, due.tank, advice);
  // What was not reckoned yet may stand all the same.
  if (due.asOf !== undefined) await forgetUnsent(services, account, due.tank, advice);
  if (advice.length === 0) return;
  const quiet = await isQuietFor(services, account, due.tank);
  for (const one of advice) if (one.urgent || !quiet) await tellOnce(services, account, due, one);
}

/** Whether someone is not to be told of a tank now. */
export async function isQuietFor(services: Services, account: string, tank: string): Promise<boolean> {
  const hours = (await ownQuietHours(services, account)) ?? (await quietHoursOf(services, tank as TankId));
  return isQuiet(hours, services.now());
}

/** What is due by now and asks for a deed; what can be done whenever it suits is left to the calendar. */
function dueNow({ orders, accepted }: Due, now: number): readonly DueAdvice[] {
  const own = orders.map((order) => ({ ...order, id: order.key }));
  return [...own, ...accepted].flatMap(({ id, do: deed, when, say, urgency }) =>
    deed === 'wait' || urgency === 'whenever' || Date.parse(when) > now
      ? []
      : [{ key: id, say, urgent: urgency === 'now' }],
  );
}

/** Advice that no longer stands may be told of again when it is due the next time. */
async function forgetPast(
  { database, now }: Services,
  account: string,
  tank: string,
  standing: readonly DueAdvice[],
): Promise<void> {
  const told = await database.all<{ advice: string }>(
    'select advice from reminded where account = $1 and tank = $2 and at <= $3',
    account,
    tank,
    now() - APART,
  );
  for (const { advice } of told)
    if (!standing.some(({ key }) => key === advice))
      await database.run(
        'delete from reminded where account = $1 and tank = $2 and advice = $3',
        account,
        tank,
        advice,
      );
}

/** What waits to be sent is let go once what it tells of stands no more. */
async function forgetUnsent(
  { database }: Services,
  account: string,
  tank: string,
  standing: readonly DueAdvice[],
): Promise<void> {
  const unsent = await database.all<{ id: string; advice: string }>(
    'select id, advice from push_message where account = $1 and tank = $2',
    account,
    tank,
  );
  for (const { id, advice } of unsent)
    if (!standing.some(({ key }) => key === advice))
      await database.run('delete from push_message where id = $1', id);
}

/** Nobody is told of a tank they have no part in any more. */
async function forgetTanksBut(
  { database }: Services,
  account: string,
  tanks: ReadonlySet<string>,
): Promise<void> {
  const waiting = await database.all<{ tank: string }>(
    'select distinct tank from push_message where account = $1',
    account,
  );
  for (const { tank } of waiting)
    if (!tanks.has(tank))
      await database.run('delete from push_message where account = $1 and tank = $2', account, tank);
}

/** Of several processes that find the same, one notes it: it writes the messages in the same transaction. */
async function tellOnce(
  services: Services,
  account: string,
  { tank, name }: Due,
  { key, say, urgent }: DueAdvice,
): Promise<void> {
  const { database, now } = services;
  const subscriptions = await subscriptionsOf(services, account);
  await database.transaction(async (sql) => {
    const claimed = await sql.run(
      'insert into reminded (account, tank, advice, at) values ($1, $2, $3, $4) on conflict do nothing',
      account,
      tank,
      key,
      now(),
    );
    if (claimed === 0) return;
    for (const { endpoint } of subscriptions)
      await sql.run(
        `insert into push_message (id, endpoint, title, body, path, topic, urgent, created, account, tank, advice)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
        newId(services),
        endpoint,
        name.slice(0, 60),
        say.slice(0, 500),
        `/tank/${tank}`,
        topicOf(tank, key),
        urgent ? 1 : 0,
        now(),
        account,
        tank,
        key,
      );
  });
}

/** At most 32 characters that may stand in an address (RFC 8030, 5.4), which say nothing of the tank. */
const topicOf = (tank: string, key: string): string =>
  createHash('sha256').update(`${tank} ${key}`).digest('base64url').slice(0, 32);
