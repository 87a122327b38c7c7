import type { KitLore } from '@brinewright/counsel';
import type { Entry, TankId } from '@brinewright/journal';
import { DEMONSTRATION } from '../demo/plant.ts';
import { entriesOf, tankIds } from './journal.ts';
import { mayWrite } from './sharing.ts';
import { putLore, readLores } from './shelf.ts';

/** What a tank's kits showed in other tanks, and from which state of their journals that was learnt. */
export interface Learnt {
  readonly state: string;
  readonly lore: KitLore;
}

/** As many tanks as are looked through for readings that count; the worker chooses among them. */
const MOST = 24;
/** Fewer readings with the same kits say nothing. */
const LEAST = 6;

let lores: ReadonlyMap<string, Learnt> = new Map();

/** Puts in place what was learnt on earlier visits. */
export async function takeLores(): Promise<void> {
  lores = await readLores();
}

export const learntOf = (tank: TankId): Learnt | undefined => lores.get(tank);

export function keepLearnt(tank: TankId, learnt: Learnt): void {
  lores = new Map([...lores, [tank, learnt]]);
  void putLore(tank, learnt);
}

/**
 * The keeper's other tanks on this device that were read with the same kits, most readings first. The demonstration's
 * kits are invented, and in a tank that one may only look at another keeper reads other kits with other eyes.
 */
export function neighboursOf(tank: TankId): readonly TankId[] {
  if (!isOwn(tank)) return [];
  const kits = new Set(entriesOf(tank).flatMap(kitOf));
  const shared = (other: TankId) =>
    entriesOf(other).filter((entry) => kitOf(entry).some((kit) => kits.has(kit))).length;
  return tankIds.value
    .filter((other) => other !== tank && isOwn(other))
    .map((other) => ({ other, shared: shared(other) }))
    .filter(({ shared }) => shared >= LEAST)
    .sort((a, b) => b.shared - a.shared || (a.other < b.other ? -1 : 1))
    .slice(0, MOST)
    .map(({ other }) => other);
}

const isOwn = (tank: TankId): boolean => tank !== DEMONSTRATION && mayWrite(tank);

const kitOf = ({ kind, body }: Entry): readonly string[] =>
  kind === 'reading' && 'kit' in body && typeof body.kit === 'string' ? [body.kit] : [];

/** Journals only grow, so how many entries each has tells whether anything is new to learn. */
export const stateOf = (neighbours: readonly TankId[]): string =>
  neighbours.map((tank) => `${tank} ${entriesOf(tank).length}`).join();

/** Epoch milliseconds of the last that happened in any of them: the same journals are learnt from alike on any day. */
export const lastIn = (neighbours: readonly TankId[]): number =>
  neighbours.flatMap(entriesOf).reduce((last, { at }) => Math.max(last, Date.parse(at)), 0);
