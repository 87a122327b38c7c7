import type { Signal } from '@preact/signals';
import { effect, signal } from '@preact/signals';

/** A signal whose value outlives a reload, in this browser only. Where the browser keeps nothing it is a plain signal. */
export function kept<T>(key: string, initial: T): Signal<T> {
  const name = `brinewright.${key}`;
  const value = signal<T>(read(name, initial));
  effect(() => write(name, value.value));
  return value;
}

/** As `kept`, and every open page of this browser has the same value. */
export function keptEverywhere<T>(key: string, initial: T): Signal<T> {
  const value = kept(key, initial);
  const name = `brinewright.${key}`;
  globalThis.addEventListener?.('storage', (event) => {
    if (event.key === name) value.value = read(name, initial);
  });
  return value;
}

/** Forgets what was kept under a key, without touching signals that still hold it. */
export function forget(key: string): void {
  try {
    localStorage.removeItem(`brinewright.${key}`);
  } catch {
    // Nothing was kept, so there is nothing to forget.
  }
}

function read<T>(name: string, initial: T): T {
  try {
    const text = localStorage.getItem(name);
    if (text === null) return initial;
    const value = JSON.parse(text) as T;
    const merges = typeof initial === 'object' && initial !== null && !Array.isArray(initial);
    return merges ? { ...initial, ...value } : value;
  } catch {
    return initial;
  }
}

function write(name: string, value: unknown): void {
  try {
    localStorage.setItem(name, JSON.stringify(value));
  } catch {
    // Private windows and full disks refuse; the page goes on with what it holds.
  }
}
