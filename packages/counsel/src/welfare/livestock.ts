import type { Animals, TankFacts } from '@brinewright/journal';
import { loadOf } from '../arrivals/bioload.ts';
import { dayMs } from '../situation/situation.ts';

/** Kinds of animal the limits tell apart. */
export type Kind = 'marine_fish' | 'crustaceans' | 'molluscs' | 'echinoderms' | 'corals_anemones';

export interface Group {
  readonly class: string;
  readonly kind: Kind;
  readonly count: number;
  /** Larvae, seahorses and animals in their first week: the stricter band. */
  readonly tender: boolean;
}

/** The animals a tank holds now. */
export interface Livestock {
  readonly present: boolean;
  /** True where animals are said to be there and no entry says which. */
  readonly unknown: boolean;
  readonly groups: readonly Group[];
  readonly kinds: readonly Kind[];
  /** Typical total ammonia they set free, mg N a day; undefined where nobody said which they are. */
  readonly loadMgNPerDay: number | undefined;
  /** Epoch milliseconds of the last arrival. */
  readonly lastArrival: number | undefined;
}

const tenderForDays = 7;

const kinds: Readonly<Record<string, Kind>> = {
  crustacean: 'crustaceans',
  cleaner_or_peppermint_shrimp: 'crustaceans',
  pistol_or_anemone_shrimp: 'crustaceans',
  hermit_crab_small: 'crustaceans',
  true_crab_small: 'crustaceans',
  mollusc: 'molluscs',
  grazing_snail: 'molluscs',
  carnivorous_scavenger_snail: 'molluscs',
  small_clam: 'molluscs',
  echinoderm: 'echinoderms',
  sea_urchin: 'echinoderms',
  brittle_or_small_sea_star: 'echinoderms',
  sea_cucumber: 'echinoderms',
  coral: 'corals_anemones',
  anemone: 'corals_anemones',
  host_anemone: 'corals_anemones',
  soft_coral_zoanthid_mushroom: 'corals_anemones',
  large_polyp_stony_coral: 'corals_anemones',
  small_polyp_stony_coral: 'corals_anemones',
};

/** A class nobody tabulated counts as fish, whose limits guard most others too. */
const kindOf = (name: string): Kind => kinds[name] ?? 'marine_fish';

export function livestockOf(facts: TankFacts, asOf: number): Livestock {
  const here = facts.arrivals.filter(({ at }) => at <= asOf);
  const gone = facts.losses.filter(({ at }) => at <= asOf);
  const byClass = new Map<string, { count: number; last: number; load: number }>();
  const add = (animals: readonly Animals[], sign: number, at: number): void => {
    for (const group of animals) {
      const before = byClass.get(group.class) ?? { count: 0, last: 0, load: 0 };
      byClass.set(group.class, {
        count: before.count + sign * group.count,
        last: sign > 0 ? at : before.last,
        load: before.load + sign * loadOf(group),
      });
    }
  };
  for (const { animals, at } of here) add(animals, 1, at);
  for (const { animals, at } of gone) add(animals, -1, at);
  const rows = [...byClass].filter(([, { count }]) => count > 0);
  const groups = rows.map(([name, { count, last }]): Group => {
    const tender = name === 'seahorse' || asOf - last < tenderForDays * dayMs;
    return { class: name, kind: kindOf(name), count, tender };
  });
  const unknown = groups.length === 0 && here.length === 0 && (facts.route?.startsWith('animals') ?? false);
  return {
    present: groups.length > 0 || unknown,
    unknown,
    groups,
    kinds: unknown ? ['marine_fish'] : [...new Set(groups.map(({ kind }) => kind))],
    loadMgNPerDay: unknown ? undefined : rows.reduce((sum, [, row]) => sum + Math.max(0, row.load), 0),
    lastArrival: here.at(-1)?.at,
  };
}
