import {
  type Belief,
  coordinatesOf,
  fit,
  learnt,
  type Posterior,
  type Progress,
  together,
} from '@brinewright/evidence';
import type { TankFacts } from '@brinewright/journal';
import type { Prior } from '@brinewright/nitrogen';
import { type Situation, situationOf } from '../situation/situation.ts';

/** Particles a neighbour is fitted with: its kits' centres and spreads are wanted, not its course. */
const particles = 128;
const mostNeighbours = 6;
/** Readings with shared kits from which a neighbour can say anything of them. */
const leastReadings = 6;

/** Unknowns of a problem that belong to a kit or its reader, by whose they are. */
function owners({ kits, problem }: Situation): Map<string, string> {
  const of = new Map<string, string>([['blur', 'the reader']]);
  for (const [index, kit] of kits.entries()) if (kit !== null) of.set(`bias:${index}`, kit);
  for (const [name, analyte] of [
    ['tint', 'ammonia'],
    ['cross', 'nitrate'],
  ] as const) {
    const used = kits.filter((_, index) => problem.instruments[index]!.analyte === analyte);
    if (used.length === 1 && used[0] != null) of.set(name, used[0]);
  }
  return of;
}

/** What neighbours' fits say of kits and their reader: found values by coordinate and owner. */
export type KitLore = ReadonlyMap<string, readonly Prior[]>;

const keyOf = (name: string, owner: string): string => `${name.replace(/:\d+$/, '')} of ${owner}`;

function loreOf(fits: readonly { situation: Situation; posterior: Posterior }[]): KitLore {
  const lore = new Map<string, Prior[]>();
  for (const { situation, posterior } of fits)
    for (const [name, owner] of owners(situation)) {
      const found = learnt(posterior, name);
      const key = keyOf(name, owner);
      if (found) lore.set(key, [...(lore.get(key) ?? []), found]);
    }
  return lore;
}

/** Beliefs about a situation's kits and reader that its neighbours' fits leave. */
export function believed(situation: Situation, lore: KitLore): Belief[] {
  const usual = new Map(coordinatesOf(situation.problem, 0).map(({ name, prior }) => [name, prior]));
  return [...owners(situation)].flatMap(([name, owner]) => {
    const found = lore.get(keyOf(name, owner));
    const prior = usual.get(name);
    return found && prior ? [{ name, prior: together(prior, found) }] : [];
  });
}

/** Learns of a tank's kits from its keeper's other tanks that were read with them. Yields progress. */
export function* learnKits(
  facts: TankFacts,
  others: readonly TankFacts[],
  { asOf, seed }: { readonly asOf: number; readonly seed?: number | undefined },
): Generator<Progress, KitLore> {
  const here = new Set(situationOf(facts, asOf).kits);
  const neighbours = others
    .filter(({ tank, opened }) => tank !== facts.tank && opened !== undefined && opened <= asOf)
    .map((other) => situationOf(other, asOf))
    .map((situation) => ({ situation, shared: sharedReadings(situation, here) }))
    .filter(({ shared }) => shared >= leastReadings)
    .sort((a, b) => b.shared - a.shared || (a.situation.facts.tank < b.situation.facts.tank ? -1 : 1))
    .slice(0, mostNeighbours);
  const fits: { situation: Situation; posterior: Posterior }[] = [];
  for (const { situation } of neighbours) {
    const steps = fit(situation.problem, { particles, ...(seed !== undefined && { seed }) });
    let step = steps.next();
    for (; !step.done; step = steps.next())
      yield {
        fraction: (fits.length + step.value.fraction) / neighbours.length,
        said: 'learning the kits from other tanks',
      };
    fits.push({ situation, posterior: step.value });
  }
  return loreOf(fits);
}

const sharedReadings = ({ kits, problem }: Situation, wanted: ReadonlySet<string | null>): number =>
  problem.observations.filter(({ instrument }) => {
    const kit = kits[instrument];
    return kit != null && wanted.has(kit);
  }).length;
