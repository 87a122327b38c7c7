import { type Entry, writeJournal } from '@brinewright/journal';
import { computed } from '@preact/signals';
import { DEMONSTRATION } from '../demo/plant.ts';
import { DAY_MS } from '../format/dates.ts';
import { entries } from '../state/journal.ts';
import { kept } from '../state/kept.ts';
import { now } from '../state/reader.ts';

/** What this device remembers of the copies that were taken away from it. */
interface Copies {
  /** Epoch milliseconds of the last one; null where there was none. */
  readonly at: number | null;
  /** How many entries it held. */
  readonly held: number;
  /** Until when a person does not want to be reminded. */
  readonly quietUntil: number;
}

export const copies = kept<Copies>('copies', { at: null, held: 0, quietUntil: 0 });

/** So many entries of one's own are worth a first copy. */
const WORTH = 10;
const OLD_DAYS = 7;
const QUIET_DAYS = 3;

/** Whether a copy is due, and how many days old the last one is (undefined: there is none). */
export const copyDue = computed<{ readonly days: number | undefined } | undefined>(() => {
  const { at, held, quietUntil } = copies.value;
  const all = entries.value;
  if (now.value < quietUntil || all.length <= held) return undefined;
  if (at === null)
    return all.filter(({ tank }) => tank !== DEMONSTRATION).length >= WORTH ? { days: undefined } : undefined;
  const days = Math.floor((now.value - at) / DAY_MS);
  return days >= OLD_DAYS ? { days } : undefined;
});

/** Everything on this device, tanks put away among it, into one file. Returns the file's name. */
export function keepCopy(): string {
  const file = fileName();
  const all = entries.value;
  download(all, file);
  copies.value = { at: Date.now(), held: all.length, quietUntil: 0 };
  return file;
}

export function notNow(): void {
  copies.value = { ...copies.value, quietUntil: Date.now() + QUIET_DAYS * DAY_MS };
}

export const fileName = () => `brinewright-${new Date().toISOString().slice(0, 10)}.ndjson`;

export function download(chosen: readonly Entry[], file: string): void {
  const address = URL.createObjectURL(new Blob([writeJournal(chosen)], { type: 'application/x-ndjson' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
