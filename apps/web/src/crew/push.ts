import { ask, Refusal } from '../sharing/ask.ts';
import { sharingWords } from '../words/sharing.ts';

/** The server's key for messages, base64url; undefined where it sends none. */
export async function pushKey(): Promise<string | undefined> {
  try {
    return (await ask<{ readonly publicKey: string }>('GET', '/api/push/key')).publicKey;
  } catch (error) {
    if (error instanceof Refusal) return undefined;
    throw error;
  }
}

/** Whether this browser can show messages at all. */
export const canBeTold = (): boolean => 'PushManager' in globalThis && 'serviceWorker' in navigator;

const ofThisDevice = async (): Promise<PushSubscription | null | undefined> =>
  canBeTold() ? (await navigator.serviceWorker.getRegistration())?.pushManager.getSubscription() : undefined;

/** Whether this device is told: it may have been ended from another one, or have been someone else's before. */
export async function isTold(): Promise<boolean> {
  const subscription = await ofThisDevice();
  if (!subscription) return false;
  const told = await ask<readonly { readonly endpoint: string }[]>('GET', '/api/push/subscriptions');
  return told.some(({ endpoint }) => endpoint === subscription.endpoint);
}

/** Has this device told what is due. @throws Error where the person or the browser does not want that */
export async function tellDevice(publicKey: string): Promise<void> {
  if ((await Notification.requestPermission()) !== 'granted') throw new Error(sharingWords.messages.denied);
  const { pushManager } = await navigator.serviceWorker.ready;
  const asked = pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: publicKey });
  const subscription = await Promise.race([asked, silence()]).catch((error: unknown) => {
    throw new Error(sharingWords.messages.noService, { cause: error });
  });
  await ask('PUT', '/api/push/subscriptions', subscription.toJSON());
}

const PATIENCE_MS = 20_000;

/** A browser that cannot reach its service may never say so. */
const silence = (): Promise<never> =>
  new Promise((_, reject) => {
    setTimeout(() => reject(new Error('no answer')), PATIENCE_MS);
  });

/** The server forgets first: what is left on the device is then never written to. */
export async function stopTelling(): Promise<void> {
  const subscription = await ofThisDevice();
  if (!subscription) return;
  await ask('DELETE', '/api/push/subscriptions', { endpoint: subscription.endpoint });
  await subscription.unsubscribe();
}
