import { computed } from '@preact/signals';
import { keptEverywhere } from './kept.ts';

/** Someone's part in a tank on a shared server. */
export type Role = 'keeper' | 'mentor' | 'reader';

export interface Person {
  readonly account: string;
  readonly name: string;
}

/** Who was last known to be signed in on this device; null: nobody, or there is no shared server. */
export const person = keptEverywhere<{ readonly now: Person | null }>('person', { now: null });

/** In whose name entries are written; undefined where nobody is signed in. */
export const author = computed(() => person.value.now?.account);

/** Names of people met on the server, by account: who wrote what is told without a network too. */
export const names = keptEverywhere<Readonly<Record<string, string>>>('names', {});
