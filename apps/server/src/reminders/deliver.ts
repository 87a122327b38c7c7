import { errorFields } from '../http/log.ts';
import { type PushMessage, type Subscription, sendPush } from '../push/send.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { pauseAfter } from './pause.ts';
import { isQuietFor } from './remind.ts';

type Noted = Subscription &
  Omit<PushMessage, 'urgent'> & {
    readonly id: string;
    readonly account: string;
    readonly tank: string;
    readonly urgent: number;
    readonly tries: number;
  };

/**
 * Sends one message that was noted. It is tried until the push service has it, what it tells of stands no more, or the
 * subscription is gone: that is then forgotten, with all that was meant for it.
 */
export async function sendNoted(services: Services, id: string): Promise<void> {
  const { database, metrics, push } = services;
  if (push === undefined) return;
  const noted = await first<Noted>(
    database,
    `select s.endpoint, s.p256dh, s.auth, m.id, m.account, m.tank, m.title, m.body, m.path, m.topic, m.urgent, m.tries
     from push_message m join push_subscription s on s.endpoint = m.endpoint where m.id = $1`,
    id,
  );
  if (noted === undefined) return;
  const urgent = noted.urgent === 1;
  // It is looked at again when the quiet hours are over.
  if (!urgent && (await isQuietFor(services, noted.account, noted.tank))) return;
  const outcome = await sendPush(services, push, noted, { ...noted, urgent }).catch((error: unknown) => {
    services.log('push-failed', { tries: noted.tries + 1, ...errorFields(error) });
    return 'failed' as const;
  });
  metrics.count('brinewright_reminders_total', { outcome });
  if (outcome === 'failed') await tryLater(services, noted);
  else if (outcome === 'gone')
    await database.run('delete from push_subscription where endpoint = $1', noted.endpoint);
  else await database.run('delete from push_message where id = $1', id);
}

async function tryLater({ database, queue, now }: Services, { id, tries }: Noted): Promise<void> {
  const due = now() + pauseAfter(tries);
  await database.run('update push_message set tries = $1, due = $2 where id = $3', tries + 1, due, id);
  await queue.add('push', id, due);
}
