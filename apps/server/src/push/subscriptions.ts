import * as z from 'zod/mini';
import type { Person } from '../access/person.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { maySendTo } from './reach.ts';
import type { Subscription } from './send.ts';

const bytes = (length: number) =>
  z
    .string()
    .check(
      z.refine(
        (text) => /^[\w-]+=*$/.test(text) && Buffer.from(text, 'base64url').length === length,
        `Give ${length} bytes as base64url.`,
      ),
    );

/** A `PushSubscription` as browsers write it in JSON. */
export const subscriptionBody = z.object({
  endpoint: z.string().check(z.maxLength(1000)),
  keys: z.object({ p256dh: bytes(65), auth: bytes(16) }),
});

/** So many browsers of one person are told; the newest. */
const MOST = 20;

/** How the one person of a server for one is kept. */
export const keyOf = ({ account }: Person): string => account ?? '';

/**
 * @param session it is told no more once that is ended
 * @throws Fault where the address is not one of a push service
 */
export async function subscribe(
  { database, mode, now }: Services,
  person: Person,
  session: string | undefined,
  { endpoint, keys }: z.infer<typeof subscriptionBody>,
): Promise<void> {
  if (!maySendTo(endpoint, mode))
    throw new Fault('unsound', 'See errors.', [
      { pointer: '/endpoint', detail: 'Give the https address of a push service, as the browser gave it.' },
    ]);
  await database.run(
    `insert into push_subscription (endpoint, account, p256dh, auth, created, session) values ($1, $2, $3, $4, $5, $6)
     on conflict (endpoint) do update set account = excluded.account, p256dh = excluded.p256dh,
       auth = excluded.auth, created = excluded.created, session = excluded.session`,
    endpoint,
    keyOf(person),
    keys.p256dh,
    keys.auth,
    now(),
    session ?? null,
  );
  await database.run(
    `delete from push_subscription where account = $1 and endpoint not in (
       select endpoint from push_subscription where account = $1 order by created desc, endpoint limit ${MOST})`,
    keyOf(person),
  );
}

export async function unsubscribe({ database }: Services, person: Person, endpoint: string): Promise<void> {
  await database.run(
    'delete from push_subscription where endpoint = $1 and account = $2',
    endpoint,
    keyOf(person),
  );
}

export const subscriptionsOf = (
  { database }: Pick<Services, 'database'>,
  account: string,
): Promise<readonly Subscription[]> =>
  database.all<Subscription>(
    'select endpoint, p256dh, auth from push_subscription where account = $1 order by created, endpoint',
    account,
  );
