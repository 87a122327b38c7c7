import { createHash } from 'node:crypto';
import { newId } from '../crew/accounts.ts';
import { type Due, dueFor } from '../feeds/due.ts';
import { type PushMessage, type Subscription, sendPush } from '../push/send.ts';
import { subscriptionsOf } from '../push/subscriptions.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { isQuiet, quietHoursOf } from './quiet.ts';

/** The same advice is not told of again within this time, however often it comes and goes, ms. */
const APART = 12 * 3_600_000;
/** A message that could not be sent for so long is let go, ms. */
const STALE = 12 * 3_600_000;

interface DueAdvice {
  /** Names the same advice from day to day. */
  readonly key: string;
  readonly say: string;
  readonly urgent: boolean;
}

/**
 * Tells everyone who wants to be told what is due on their tanks: each piece of advice once while it stands, and not
 * in the tank's quiet hours, which only what cannot wait breaks.
 */
export async function remindAll(services: Services): Promise<void> {
  const { database, mode, queue, now } = services;
  await database.run('delete from push_message where created < $1', now() - STALE);
  const accounts = await database.all<{ account: string }>(
    'select distinct account from push_subscription order by account',
  );
  for (const { account } of accounts) {
    if (mode.shared === (account === '')) continue;
    for (const tank of await dueFor(services, { account: account === '' ? undefined : account }))
      await remindOfTank(services, account, tank);
  }
  // All that is there, so that what was noted by a process that then ended is sent too.
  for (const { id } of await database.all<{ id: string }>('select id from push_message order by created'))
    await queue.add('push', id, now());
}

async function remindOfTank(services: Services, account: string, due: Due): Promise<void> {
  const advice = dueNow(due, services.now());
  await forgetPast(services, account, due.tank, advice);
  if (advice.length === 0) return;
  const quiet = isQuiet(await quietHoursOf(services, due.tank), services.now());
  for (const one of advice) if (one.urgent || !quiet) await tellOnce(services, account, due, one);
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
        `insert into push_message (id, endpoint, title, body, path, topic, urgent, created)
         values ($1, $2, $3, $4, $5, $6, $7, $8)`,
        newId(services),
        endpoint,
        name.slice(0, 60),
        say.slice(0, 500),
        `/tank/${tank}`,
        topicOf(tank, key),
        urgent ? 1 : 0,
        now(),
      );
  });
}

/** At most 32 characters that may stand in an address (RFC 8030, 5.4), which say nothing of the tank. */
const topicOf = (tank: string, key: string): string =>
  createHash('sha256').update(`${tank} ${key}`).digest('base64url').slice(0, 32);

type Noted = Subscription & Omit<PushMessage, 'urgent'> & { readonly urgent: number };

/** Sends one message that was noted; a subscription that is gone is forgotten, with all that was meant for it. */
export async function sendNoted(services: Services, id: string): Promise<void> {
  const { database, metrics, push } = services;
  if (push === undefined) return;
  const noted = await first<Noted>(
    database,
    `select s.endpoint, s.p256dh, s.auth, m.title, m.body, m.path, m.topic, m.urgent
     from push_message m join push_subscription s on s.endpoint = m.endpoint where m.id = $1`,
    id,
  );
  if (noted === undefined) return;
  const outcome = await sendPush(services, push, noted, { ...noted, urgent: noted.urgent === 1 });
  metrics.count('brinewright_reminders_total', { outcome });
  if (outcome === 'gone')
    await database.run('delete from push_subscription where endpoint = $1', noted.endpoint);
  else await database.run('delete from push_message where id = $1', id);
}
