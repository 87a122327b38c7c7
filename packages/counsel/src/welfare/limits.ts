import { type LimitRow, limitsTable } from './limits-table.ts';
import type { Group, Kind, Livestock } from './livestock.ts';

/** A band for one kind of animal: inside `ok` no concern, past an emergency bound an emergency, between: act today. */
export interface Limit {
  readonly row: LimitRow;
  readonly kind: Kind;
}

const tokens: Readonly<Record<Kind, RegExp>> = {
  marine_fish: /fish/,
  crustaceans: /crustaceans|all_animals/,
  molluscs: /molluscs|crustaceans|all_animals/,
  echinoderms: /echinoderms|invertebrates|all_animals/,
  corals_anemones: /coral/,
};

const tenderStage = 'larva_or_fresh_arrival_or_seahorse';
const dilutedStage = 'any_at_salinity_below_20';
const dilutedBelow = 20;

/** The bands of a parameter that hold for the animals present, the strictest of each averaging time. */
export function limitsFor(parameter: string, animals: Livestock, salinity: number): Limit[] {
  const rows = limitsTable.filter((row) => row.parameter === parameter);
  const found = animals.kinds.flatMap((kind): Limit[] => {
    const tender = animals.unknown || animals.groups.some((group) => group.kind === kind && isTender(group));
    const own = rows.filter((row) => tokens[kind].test(row.animals));
    const named = own.filter((row) => row.stage === (salinity < dilutedBelow ? dilutedStage : tenderStage));
    const special = named.filter((row) => row.stage === dilutedStage || tender);
    const general = own.filter((row) => row.stage !== tenderStage && row.stage !== dilutedStage);
    return [...general.filter(({ hours }) => !special.some((row) => row.hours === hours)), ...special].map(
      (row) => ({ row, kind }),
    );
  });
  const byHours = new Map<number, Limit>();
  for (const limit of found) {
    const before = byHours.get(limit.row.hours);
    if (!before || stricter(limit.row, before.row)) byHours.set(limit.row.hours, limit);
  }
  return [...byHours.values()].sort((a, b) => a.row.hours - b.row.hours);
}

const isTender = ({ tender }: Group): boolean => tender;

const stricter = (a: LimitRow, b: LimitRow): boolean =>
  (a.emergencyAbove ?? Infinity) < (b.emergencyAbove ?? Infinity) ||
  (a.okMax ?? Infinity) < (b.okMax ?? Infinity) ||
  (a.okMin ?? -Infinity) > (b.okMin ?? -Infinity);

/** USEPA 1989 chronic criterion, a four-day mean, mg NH3-N/L (0.035 mg/L as NH3). */
export const chronicCriterion = {
  hours: 96,
  mgNL: 0.029,
  source: 'USEPA 1989, Ambient Water Quality Criteria for Ammonia (Saltwater), EPA 440/5-88-004',
} as const;

export const kindWords: Readonly<Record<Kind, string>> = {
  marine_fish: 'fish',
  crustaceans: 'shrimp and crabs',
  molluscs: 'snails and clams',
  echinoderms: 'urchins and stars',
  corals_anemones: 'corals and anemones',
};
