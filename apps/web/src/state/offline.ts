/** Lets the program work without a network from the second visit on. A browser that will not is none the worse. */
export function workOffline(): void {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  navigator.serviceWorker.register('/service-worker.js').catch(() => undefined);
}
