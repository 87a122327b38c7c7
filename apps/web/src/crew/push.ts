import { ask, Refusal } from '../sharing/ask.ts';
import { sharingWords } from '../words/sharing.ts';

/** The server's key for messages, base64url; undefined where it or this browser has none. */
export async function pushKey(): Promise<string | undefined> {
  if (!('PushManager' in globalThis) || !('serviceWorker' in navigator)) return undefined;
  try {
    return (await ask<{ readonly publicKey: string }>('GET', '/api/push/key')).publicKey;
  } catch (error) {
    if (error instanceof Refusal) return undefined;
    throw error;
  }
}

const ofThisDevice = async (): Promise<PushManager | undefined> =>
  (await navigator.serviceWorker.getRegistration())?.pushManager;

export const isTold = async (): Promise<boolean> => Boolean(await (await ofThisDevice())?.getSubscription());

/** Has this device told what is due. @throws Error where the person or the browser does not want that */
export async function tellDevice(publicKey: string): Promise<void> {
  if ((await Notification.requestPermission()) !== 'granted') throw new Error(sharingWords.feeds.pushDenied);
  const { pushManager } = await navigator.serviceWorker.ready;
  const subscription = await pushManager.subscribe({
    userVisibleOnly: true,
    applicationServerKey: publicKey,
  });
  await ask('PUT', '/api/push/subscriptions', subscription.toJSON());
}

/** The server forgets first: what is left on the device is then never written to. */
export async function stopTelling(): Promise<void> {
  const subscription = await (await ofThisDevice())?.getSubscription();
  if (!subscription) return;
  await ask('DELETE', '/api/push/subscriptions', { endpoint: subscription.endpoint });
  await subscription.unsubscribe();
}
