import type { EntryId, TankId } from '@brinewright/journal';
import { computed, signal } from '@preact/signals';
import { DEMONSTRATION } from '../demo/plant.ts';
import { entriesOf, tankIds } from './journal.ts';
import { keptEverywhere } from './kept.ts';
import { author, type Role } from './person.ts';

/** Entries of a tank that the server would not take, and why. */
export interface Refused {
  readonly count: number;
  readonly why: 'not-allowed' | 'not-here' | 'unsound';
}

/** What this device remembers of the server that serves its pages. Losing it costs time, nothing else. */
export interface Sharing {
  /** `none`: no server has answered so far, or what serves the pages is no server of ours. */
  readonly server: 'none' | 'alone' | 'shared';
  /** When device and server last held the same entries; epoch milliseconds. */
  readonly agreedAt: number | null;
  /** How many entries each tank had then. */
  readonly agreed: Readonly<Record<string, number>>;
  /** Parts in tanks of a shared server. */
  readonly roles: Readonly<Record<string, Role>>;
  /** Tanks that someone chose to keep on the shared server too. */
  readonly chosen: readonly string[];
  readonly refused: Readonly<Record<string, Refused>>;
  /** Kept here and there with different content under one id; each side keeps its own. */
  readonly clashes: readonly EntryId[];
}

export const sharing = keptEverywhere<Sharing>('sharing', {
  server: 'none',
  agreedAt: null,
  agreed: {},
  roles: {},
  chosen: [],
  refused: {},
  clashes: [],
});

export const remember = (change: Partial<Sharing>): void => {
  sharing.value = { ...sharing.value, ...change };
};

/** Why device and server do not agree at the moment; undefined while they do or nobody has tried. */
export type Trouble =
  | { readonly kind: 'unreachable' }
  | { readonly kind: 'signed-out' }
  | { readonly kind: 'failed'; readonly why: string };

export const trouble = signal<Trouble | undefined>(undefined);

/** Looks for the server and synchronises with it now; does nothing until the code for it has been fetched. */
export const askAgain = signal<() => void>(() => undefined);

/**
 * Whether a tank goes to the server: never the demonstration, whose fixed ids every device plants with dates of its
 * own. On a server for one everything else; on a shared one what is there already, what someone chose to keep there,
 * and what was opened by whoever is signed in.
 */
export function goes(tank: TankId): boolean {
  const { server, roles, chosen } = sharing.value;
  if (tank === DEMONSTRATION || server === 'none') return false;
  if (server === 'alone') return true;
  if (author.value === undefined) return false;
  return roles[tank] !== undefined || chosen.includes(tank) || openedBy(tank) === author.value;
}

const openedBy = (tank: TankId): string | undefined =>
  entriesOf(tank).find(({ kind, by }) => kind === 'tank' && by !== undefined)?.by;

/** Entries that wait on this device for the server. */
export const waiting = computed(() =>
  tankIds.value.reduce((sum, tank) => (goes(tank) ? sum + waitingOf(tank) : sum), 0),
);

export const waitingOf = (tank: TankId): number =>
  Math.max(0, entriesOf(tank).length - (sharing.value.agreed[tank] ?? 0));

/** Someone's part in a tank; undefined where the tank is on no shared server. */
export const roleIn = (tank: TankId): Role | undefined =>
  sharing.value.server === 'shared' ? sharing.value.roles[tank] : undefined;

/** Whether to offer writing: whoever has a lesser part in a tank may not, and the server would refuse it anyway. */
export const mayWrite = (tank: TankId): boolean => (roleIn(tank) ?? 'keeper') === 'keeper';

/** Tanks of this device that a shared server does not have. */
export const onlyHere = computed<readonly TankId[]>(() =>
  sharing.value.server === 'shared' ? tankIds.value.filter((t) => t !== DEMONSTRATION && !goes(t)) : [],
);
