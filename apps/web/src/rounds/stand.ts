import type { Order } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { computed } from '@preact/signals';
import { readyWindow } from '../charts/time.ts';
import type { Foreseen } from '../charts/windows.tsx';
import { lastOf } from '../state/course.ts';
import { briefOf, entriesOf, tankIds } from '../state/journal.ts';
import { preferences } from '../state/reader.ts';
import { type ServerRound, serverRounds } from '../state/rounds.ts';
import { waitingOf } from '../state/sharing.ts';

/** Where one tank stands, as a line of the rounds says it. */
export interface Stand {
  readonly tank: TankId;
  readonly name: string | undefined;
  /** Epoch milliseconds; undefined where it was not tested, or its journal is not on this device yet. */
  readonly testedAt: number | undefined;
  /** Undefined where nothing was reckoned. */
  readonly told: Told | undefined;
  /** The server knows more than it tells, and is reckoning it. */
  readonly behind: boolean;
}

export interface Told extends Foreseen {
  readonly sentence: string;
  /** The most urgent order. */
  readonly order: Pick<Order, 'say' | 'when' | 'urgency'> | undefined;
}

/** Every tank of the rounds: those of this device and those the server tells of, but for those put away. */
export const stands = computed<readonly Stand[]>(() => {
  const away = new Set(preferences.value.putAway);
  const all = new Set([...tankIds.value, ...serverRounds.value.keys()]);
  return [...all].filter((tank) => !away.has(tank)).map(standOf);
});

/** Whichever is newer: what this device reckoned from all its entries, or what the server did. */
function standOf(tank: TankId): Stand {
  const own = lastOf(tank).value;
  const round = serverRounds.value.get(tank);
  const brief = briefOf(tank);
  const servers = round && toldBy(round);
  const fresh = own !== undefined && (own.seen === entriesOf(tank).length || servers === undefined);
  const mine = fresh && own.reckonedAt >= (servers?.at ?? 0);
  return {
    tank,
    name: brief?.name ?? round?.name ?? undefined,
    testedAt: brief?.testedAt,
    told: mine ? { ...own.sheet, order: own.orders?.[0] } : servers?.told,
    behind: !mine && round?.current === false,
  };
}

const read = new WeakMap<ServerRound, { readonly at: number; readonly told: Told }>();

/** What the server tells of a tank, read once; undefined where it has not reckoned it. */
function toldBy(round: ServerRound): { readonly at: number; readonly told: Told } | undefined {
  const { asOf, stage, ready, sentence, order } = round;
  if (asOf === null) return undefined;
  const known = read.get(round);
  if (known !== undefined) return known;
  const course = { stage: stage ?? '', ready: ready ?? { p05: null, p50: null, p95: null } };
  const told = { course, sentence, order: (order ?? undefined) as Told['order'] };
  const fresh = { at: Date.parse(asOf), told };
  read.set(round, fresh);
  return fresh;
}

/** Reads what the server tells of a tank before it is drawn among a thousand others. */
export function readAhead(round: ServerRound): void {
  const known = toldBy(round);
  if (known !== undefined) readyWindow(known.told);
}

/** Whether this device has to reckon a tank itself: the server does not answer for it, or lacks what was written here. */
export const isOurs = (tank: TankId): boolean =>
  serverRounds.value.get(tank)?.asOf == null || waitingOf(tank) > 0;
