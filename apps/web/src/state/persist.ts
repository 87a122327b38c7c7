import { signal } from '@preact/signals';

/** Whether the browser has promised not to clear what is kept here by itself; undefined while that is not known. */
export const promised = signal<boolean | undefined>(undefined);

let asked = false;

/** Learns what the browser has promised so far, without asking it for anything. */
export async function learnPromise(): Promise<void> {
  promised.value = await navigator.storage?.persisted?.();
}

/** Asks for the promise once, when there is something of one's own to keep; some browsers then ask the person. */
export async function askPromise(again = false): Promise<void> {
  if ((asked && !again) || promised.value === true) return;
  asked = true;
  promised.value = await navigator.storage?.persist?.();
}
