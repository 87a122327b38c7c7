import { signal } from '@preact/signals';

/** A newer version that lies ready on this device and waits to be changed to. */
export const newerVersion = signal<ServiceWorker | undefined>(undefined);

let registered: ServiceWorkerRegistration | undefined;
const LOOK_AGAIN_MS = 3_600_000;

/** Lets the program work without a network from the second visit on. A browser that will not is none the worse. */
export function workOffline(): void {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  // Whichever page asked for the change, every page follows: none may run on files that are gone.
  let controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (controlled) location.reload();
    controlled = true;
  });
  navigator.serviceWorker.register('/service-worker.js').then(watch, () => undefined);
}

function watch(registration: ServiceWorkerRegistration): void {
  registered = registration;
  const offer = () => {
    // Without a version in charge there is nothing to change from: the first one is simply there.
    if (navigator.serviceWorker.controller !== null) newerVersion.value = registration.waiting ?? undefined;
  };
  offer();
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', offer);
  });
  let looked = Date.now();
  document.addEventListener('visibilitychange', () => {
    if (document.hidden || Date.now() - looked < LOOK_AGAIN_MS) return;
    looked = Date.now();
    registration.update().catch(() => undefined);
  });
}

/** Changes to the newer version: this page and all others load again with it. What is typed is kept as it is typed. */
export const changeVersion = (): void => newerVersion.value?.postMessage('take over');

/** Asks the server for a newer version; false where it has none. @throws where it cannot be reached */
export async function lookForNewer(): Promise<boolean> {
  await registered?.update();
  return registered?.installing != null || registered?.waiting != null;
}
