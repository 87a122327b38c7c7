import {
  type CarbonatePair,
  carbonateSystem,
  compensatedConductivity,
  conductivityFromSalinity,
  convertPH,
  density,
  GLASS_EXPANSION,
  glassHydrometer,
  hydrationFromBatch,
  hydrometerReading,
  massFromSaltRise,
  pHScales,
  ratioFromSalinityT68,
  referencePairs,
  refractometerReading,
  salinityFromConductivity,
  salinityFromDensity,
  salinityFromHydrometer,
  salinityFromRatioT68,
  salinityFromRefractometer,
  salinityFromSpecificGravity,
  saltForWater,
  saltToRaise,
  setRefractometer,
  specificGravity,
  uncompensatedConductivity,
} from '@brinewright/seawater';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const seed = 20260917;
const salinity = fc.double({ min: 2.5, max: 42, noNaN: true });
const temperature = fc.double({ min: 0, max: 34, noNaN: true });

const forAll = (check: (s: number, t: number) => void): void =>
  fc.assert(
    fc.property(salinity, temperature, (s, t) => {
      check(s, t);
    }),
    { seed, numRuns: 200 },
  );

describe('there and back', () => {
  it('conductivity, at the surface and at depth', () => {
    forAll((s, t) => {
      expect(salinityFromConductivity(conductivityFromSalinity(s, t), t)).toBeCloseTo(s, 8);
      expect(salinityFromRatioT68(ratioFromSalinityT68(s, t, 2000), t, 2000)).toBeCloseTo(s, 8);
    });
  });
  it('conductivity below S = 2', () => {
    for (const s of [0.05, 0.5, 1, 1.9])
      expect(salinityFromConductivity(conductivityFromSalinity(s, 25), 25)).toBeCloseTo(s, 8);
    expect(conductivityFromSalinity(0, 25)).toBe(0);
  });
  it('density', () => forAll((s, t) => expect(salinityFromDensity(density(s, t), t)).toBeCloseTo(s, 7)));
  it('every specific-gravity convention', () => {
    for (const pair of Object.values(referencePairs))
      forAll((s) => expect(salinityFromSpecificGravity(specificGravity(s, pair), pair)).toBeCloseTo(s, 7));
  });
  it('a hydrometer in water of another temperature', () => {
    const hydrometer = glassHydrometer(referencePairs['60/60F']);
    forAll((s, t) =>
      expect(salinityFromHydrometer(hydrometerReading(s, t, hydrometer), t, hydrometer)).toBeCloseTo(s, 7),
    );
  });
  it('a refractometer of either scale, however it was set', () => {
    for (const scale of ['seawater', 'brine'] as const)
      forAll((s, shown) => {
        const instrument = setRefractometer(scale, 35, shown);
        expect(salinityFromRefractometer(refractometerReading(s, instrument), instrument)).toBeCloseTo(s, 9);
      });
  });
  it('a meter with a fixed compensation', () => {
    expect(compensatedConductivity(uncompensatedConductivity(53, 28, 0.02), 28, 0.02)).toBeCloseTo(53, 12);
  });
  it('pH between any two scales', () => {
    forAll((s, t) => {
      for (const a of pHScales)
        for (const b of pHScales)
          expect(convertPH(convertPH(8.1, a, b, s, t), b, a, s, t)).toBeCloseTo(8.1, 12);
    });
  });
  it('salt and the mass of water it was put in', () => {
    forAll((s) => {
      expect(massFromSaltRise(saltToRaise(250, 1, s + 1, 1.08), 1, s + 1, 1.08)).toBeCloseTo(250, 6);
      expect(hydrationFromBatch(saltForWater(20, s, 1.11), 20, s)).toBeCloseTo(1.11, 9);
    });
  });
});

describe('every pair of carbonate quantities gives the same water back', () => {
  const names = ['alkalinity', 'dic', 'pH', 'pCO2'] as const;
  const pairs = names.flatMap((a, i) => names.slice(i + 1).map((b) => [a, b] as const));
  it.each(pairs)('%s and %s', (a, b) => {
    fc.assert(
      fc.property(
        fc.double({ min: 3, max: 42, noNaN: true }),
        fc.double({ min: 5, max: 34, noNaN: true }),
        fc.double({ min: 7.2, max: 8.8, noNaN: true }),
        fc.double({ min: 1000, max: 5000, noNaN: true }),
        (s, t, pH, alkalinity) => {
          const water = { salinity: s, temperatureC: t, totalAmmonia: 100, totalPhosphate: 5 };
          const first = carbonateSystem({ alkalinity, pH }, water);
          const pair = { [a]: first[a], [b]: first[b] } as unknown as CarbonatePair;
          const again = carbonateSystem(pair, water);
          for (const name of Object.keys(first) as (keyof typeof first)[])
            expect(again[name] / first[name]).toBeCloseTo(1, 7);
        },
      ),
      { seed, numRuns: 60 },
    );
  });
});

describe('worked examples', () => {
  it('a 60/60 °F glass hydrometer that shows 1.0245 at 26 °C means 35.25, and 35.61 without the glass', () => {
    const glass = glassHydrometer(referencePairs['60/60F']);
    expect(salinityFromHydrometer(1.0245, 26, glass)).toBeCloseTo(35.25, 2);
    expect(salinityFromHydrometer(1.0245, 26, { ...glass, expansionPerC: 0 })).toBeCloseTo(35.61, 2);
    expect(glass.expansionPerC).toBe(GLASS_EXPANSION);
  });
  it('"1.0250" means five different salinities on five scales', () => {
    const at = (pair: keyof typeof referencePairs) =>
      salinityFromSpecificGravity(1.025, referencePairs[pair]);
    expect(at('60/60F')).toBeCloseTo(32.6, 1);
    expect(at('25/25')).toBeCloseTo(33.2, 1);
    expect(at('15/4')).toBeCloseTo(33.7, 1);
    expect(at('20/4')).toBeCloseTo(35.3, 1);
    expect(salinityFromSpecificGravity(1.025, { sampleC: 25, waterC: 140 / 9 })).toBeCloseTo(35.9, 1);
  });
  it('a brine refractometer zeroed with pure water shows 35 in water of 33.6', () => {
    expect(salinityFromRefractometer(35, setRefractometer('brine', 0, 0))).toBeCloseTo(33.56, 2);
    expect(salinityFromRefractometer(35, setRefractometer('brine', 35, 35))).toBe(35);
  });
});
