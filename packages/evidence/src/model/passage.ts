import { compilePlan, type Plan, type Stop } from '@brinewright/nitrogen';
import type { Deed, Problem } from '../problem.ts';
import { spellDays, spellsUntil } from './coordinates.ts';
import type { Watch } from './watch.ts';

/** Culture added without a stated strength, as a share of the inferred culture, by what it was. */
const cultureName = { bottled: 'culture', unknown: 'culture', mature: 'media' } as const;

/** Writes what a particle's values come to into its amounts. */
type Fill = (values: Float64Array, amounts: Float64Array) => void;

/** Stops of the deeds and how each particle fills in their amounts. */
function deedStops(deeds: readonly Deed[], at: (name: string) => number, firstSlot: number) {
  const stops: Stop[] = [];
  const fills: Fill[] = [];
  let slot = firstSlot;
  const volume = at('volume');
  for (const deed of deeds) {
    const here = slot;
    if (deed.kind === 'load') continue;
    stops.push({ day: deed.day, kind: deed.kind, slot: here });
    switch (deed.kind) {
      case 'culture': {
        const capacity = at(cultureName[deed.source]);
        const ratio = at(`${cultureName[deed.source]}Ratio`);
        fills.push((values, amounts) => {
          amounts[here] = values[capacity]!;
          amounts[here + 1] = values[capacity]! * values[ratio]!;
        });
        slot += 2;
        break;
      }
      case 'exchange': {
        const fraction = deed.fraction === null ? at('exchange') : -1;
        fills.push((values, amounts) => {
          amounts[here] = deed.fraction ?? values[fraction]!;
          amounts[here + 1] = deed.nitrate;
          amounts[here + 2] = deed.alkalinity;
        });
        slot += 3;
        break;
      }
      default: {
        const { size } = deed;
        const scale = deed.kind === 'ammonia' && size.form === 'known' ? at('dose') : -1;
        const source = size.form === 'units' ? at(`source:${size.source}`) : -1;
        fills.push((values, amounts) => {
          const nominal =
            size.form === 'known'
              ? size.amount * (scale < 0 ? 1 : values[scale]!)
              : size.units * values[source]!;
          amounts[here] = nominal / values[volume]!;
        });
        slot += 1;
      }
    }
  }
  return { stops, fills, slot };
}

/** Stops where the spell, or the animals' load, changes. */
function spellStops(problem: Problem, at: (name: string) => number, until: number, firstSlot: number) {
  const loads = problem.deeds.filter((deed) => deed.kind === 'load');
  const scale = loads.length > 0 ? at('load') : -1;
  const unsized = problem.unsizedAnimals ? at('animals') : -1;
  const hidden = at('hidden');
  const volume = at('volume');
  const days = new Set([
    ...Array.from({ length: spellsUntil(until) }, (_, spell) => spell * spellDays),
    ...loads.map((deed) => deed.day),
  ]);
  const stops: Stop[] = [];
  const fills: Fill[] = [];
  let slot = firstSlot;
  for (const day of [...days].sort((a, b) => a - b)) {
    const here = slot;
    const spell = spellsUntil(day) - 1;
    const vigour = at(`vigour:${spell}`);
    const unexplained = at(`hidden:${spell}`);
    const sized = loads.reduce((load, deed) => (deed.day <= day ? deed.perDay : load), 0);
    stops.push({ day, kind: 'vigour', slot: here }, { day, kind: 'load', slot: here + 1 });
    fills.push((values, amounts) => {
      const animals = (scale < 0 ? 0 : sized * values[scale]!) + (unsized < 0 ? 0 : values[unsized]!);
      amounts[here] = values[vigour]!;
      amounts[here + 1] = values[hidden]! * values[unexplained]! + animals / values[volume]!;
    });
    slot += 2;
  }
  return { stops, fills, slot };
}

/** Surroundings change where a day differs from the one before. */
function segmentStops(problem: Problem, until: number): Stop[] {
  return problem.surroundings.flatMap((surroundings, day) => {
    const previous = problem.surroundings[day - 1];
    const same =
      previous !== undefined &&
      previous.temperatureC === surroundings.temperatureC &&
      previous.pH === surroundings.pH &&
      previous.oxygenMgL === surroundings.oxygenMgL;
    return same || day > until ? [] : [{ day, kind: 'segment', slot: day } as const];
  });
}

/** What every particle passes through, and how each fills in its amounts. */
export interface Passage {
  readonly plan: Plan;
  /** Amounts a particle has. */
  readonly width: number;
  readonly fills: readonly Fill[];
}

/** The passage of a problem up to a day; rows of further output days come after those of the readings. */
export function passageOf(
  problem: Problem,
  at: (name: string) => number,
  watched: Watch,
  { until, outputDays }: { readonly until: number; readonly outputDays: readonly number[] },
): Passage {
  const deeds = [...problem.deeds].sort((a, b) => a.day - b.day);
  const acted = deedStops(deeds, at, 0);
  const spelled = spellStops(problem, at, until, acted.slot);
  const wanted = outputDays.map((day, index): Stop => ({ day, kind: 'output', slot: watched.rows + index }));
  const stops = [
    ...segmentStops(problem, until),
    ...spelled.stops,
    ...watched.before,
    ...acted.stops,
    ...watched.after,
    ...wanted,
  ]
    .filter((stop) => stop.day <= until)
    .sort((a, b) => a.day - b.day);
  return {
    plan: compilePlan(stops, problem.surroundings),
    width: spelled.slot + 1,
    fills: [...acted.fills, ...spelled.fills],
  };
}
