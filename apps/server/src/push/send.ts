import { request as plainRequest } from 'node:http';
import { request as secureRequest } from 'node:https';
import webPush from 'web-push';
import type { Services } from '../services.ts';
import type { PushKeys } from './keys.ts';
import { maySendTo, publicOnly } from './reach.ts';

export interface Subscription {
  readonly endpoint: string;
  readonly p256dh: string;
  readonly auth: string;
}

export interface PushMessage {
  readonly title: string;
  readonly body: string;
  /** Where on our pages it leads. */
  readonly path: string;
  /**
   * Names what it tells of. A later message of the same topic takes the place of one that was not delivered yet
   * (RFC 8030, 5.4), and of the one that is shown.
   */
  readonly topic: string;
  readonly urgent: boolean;
}

/** How long a push service keeps a message for a device that is away, s. */
const HALF_A_DAY = 43_200;
const PATIENCE = 10_000;

/**
 * Sends a message, encrypted for the browser that subscribed (RFC 8291). Tells "gone" where the push service says that
 * there is no such subscription any more.
 * @throws Error where it could not be sent this time
 */
export async function sendPush(
  { mode }: Pick<Services, 'mode'>,
  keys: PushKeys,
  { endpoint, p256dh, auth }: Subscription,
  { title, body, path, topic, urgent }: PushMessage,
): Promise<'sent' | 'gone'> {
  if (!maySendTo(endpoint, mode)) return 'gone';
  const { headers, body: sealed } = webPush.generateRequestDetails(
    { endpoint, keys: { p256dh, auth } },
    JSON.stringify({ title, body, path, tag: topic }),
    {
      vapidDetails: { subject: keys.contact, publicKey: keys.publicKey, privateKey: keys.privateKey },
      TTL: HALF_A_DAY,
      urgency: urgent ? 'high' : 'normal',
      topic,
      contentEncoding: 'aes128gcm',
    },
  );
  const status = await post(new URL(endpoint), headers, sealed ?? Buffer.alloc(0));
  if (status === 404 || status === 410) return 'gone';
  if (status < 200 || status > 299) throw new Error(`the push service answered with ${status}`);
  return 'sent';
}

/** Answers with the status alone: neither a redirection nor a body is followed. */
function post(url: URL, headers: Readonly<Record<string, string>>, body: Buffer): Promise<number> {
  // Addresses are not looked up: they were judged as they stand.
  const lookup = url.hostname === 'localhost' ? {} : { lookup: publicOnly };
  return new Promise((resolve, reject) => {
    const sent = (url.protocol === 'https:' ? secureRequest : plainRequest)(
      url,
      { method: 'POST', headers, timeout: PATIENCE, ...lookup },
      (response) => {
        response.destroy();
        resolve(response.statusCode ?? 0);
      },
    );
    sent.on('timeout', () => sent.destroy(new Error('the push service did not answer')));
    sent.on('error', reject);
    sent.end(body);
  });
}
