import { learnKits, type Reckoning, reckon } from '@brinewright/counsel';
import type { Io } from '../io.ts';
import { follow } from '../progress.ts';
import type { Tank } from './choose.ts';

/** Reckons a tank with what its kits showed in the journal's other tanks. `what` goes before the progress told. */
export async function reckoned(
  io: Io,
  { facts, asOf, others }: Tank,
  options: { readonly seed: number; readonly days?: number },
  what = '',
): Promise<Reckoning> {
  const lore = await follow(io, learnKits(facts, others, { asOf, seed: options.seed }), what);
  return follow(io, reckon(facts, { asOf, ...options, lore, hands: io.hands }), what);
}
