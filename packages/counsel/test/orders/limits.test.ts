import { describe, expect, it } from 'vitest';
import { limitsFor } from '../../src/welfare/limits.ts';
import type { Group, Kind, Livestock } from '../../src/welfare/livestock.ts';

const animals = (...kinds: readonly (readonly [Kind, boolean])[]): Livestock => ({
  present: true,
  unknown: false,
  groups: kinds.map(([kind, tender]): Group => ({ class: kind, kind, count: 1, tender })),
  kinds: kinds.map(([kind]) => kind),
  loadMgNPerDay: 4,
  lastArrival: 0,
});

const dayLimit = (parameter: string, who: Livestock, salinity = 35) =>
  limitsFor(parameter, who, salinity).find(({ row }) => row.hours === 24)?.row;

describe('limits for the animals present', () => {
  it('are those of settled fish: 0.02 no concern, 0.10 an emergency, over a day', () => {
    expect(dayLimit('nh3_n', animals(['marine_fish', false]))).toMatchObject({
      okMax: 0.02,
      emergencyAbove: 0.1,
    });
  });

  it('are stricter in the first week, and for seahorses', () => {
    expect(dayLimit('nh3_n', animals(['marine_fish', true]))).toMatchObject({
      okMax: 0.01,
      emergencyAbove: 0.05,
    });
  });

  it('are those of the most sensitive kind there', () => {
    const mixed = animals(['marine_fish', false], ['molluscs', false], ['corals_anemones', false]);
    expect(dayLimit('nh3_n', mixed)).toMatchObject({ okMax: 0.01, emergencyAbove: 0.05 });
  });

  it('for nitrite shrink to a fifth below a salinity of 20', () => {
    const fish = animals(['marine_fish', false]);
    expect(limitsFor('no2_n', fish, 35)[0]?.row.emergencyAbove).toBe(25);
    expect(limitsFor('no2_n', fish, 15)[0]?.row.emergencyAbove).toBe(5);
  });

  it('exist for temperature, salinity, pH and oxygen of every kind', () => {
    const kinds: readonly Kind[] = [
      'marine_fish',
      'crustaceans',
      'molluscs',
      'echinoderms',
      'corals_anemones',
    ];
    for (const kind of kinds)
      for (const parameter of ['temperature', 'salinity', 'nh3_n', 'no2_n'])
        expect(
          limitsFor(parameter, animals([kind, false]), 35).length,
          `${parameter} ${kind}`,
        ).toBeGreaterThan(0);
  });
});
