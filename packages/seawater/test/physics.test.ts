import {
  airEquilibriumPH,
  ammoniaSpread,
  aragoniteSaturation,
  carbonateSystem,
  density,
  equilibria,
  freeAmmoniaFraction,
  freshWaterToLower,
  heatCapacity,
  mixedSalinity,
  mixedTemperature,
  offsetFromTotal,
  oxygenSaturationMgL,
  pKAmmonium,
  refractiveIndexMillardSeaver1990,
  refractiveIndexQuanFry1995,
  saltForVolume,
  saltPerKilogram,
  saltToRaise,
  totalCalcium,
  uncompensatedRefractometerSalinity,
  waterMass,
} from '@brinewright/seawater';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const seed = 19830544;
const runs = { seed, numRuns: 200 };
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const parcel = fc.record({ kg: between(0.1, 500), salinity: between(0, 40), temperatureC: between(1, 34) });

describe('conservation', () => {
  it('salt is conserved when any number of waters are mixed', () => {
    fc.assert(
      fc.property(fc.array(parcel, { minLength: 1, maxLength: 6 }), (parcels) => {
        const kg = parcels.reduce((sum, each) => sum + each.kg, 0);
        const salt = parcels.reduce((sum, each) => sum + each.kg * saltPerKilogram(each.salinity), 0);
        expect(kg * saltPerKilogram(mixedSalinity(parcels))).toBeCloseTo(salt, 6);
      }),
      runs,
    );
  });
  it('heat is conserved: what the warm parcels lose the cold ones gain', () => {
    fc.assert(
      fc.property(fc.array(parcel, { minLength: 2, maxLength: 6 }), (parcels) => {
        const t = mixedTemperature(parcels);
        const gained = parcels.reduce(
          (sum, each) =>
            sum + each.kg * heatCapacity(each.salinity, each.temperatureC) * (t - each.temperatureC),
          0,
        );
        const moved = parcels.reduce(
          (sum, each) => sum + each.kg * 4000 * Math.abs(t - each.temperatureC),
          0,
        );
        expect(Math.abs(gained)).toBeLessThanOrEqual(1e-9 * (moved + 1));
      }),
      runs,
    );
  });
  it('a mixture lies between its parts', () => {
    fc.assert(
      fc.property(parcel, parcel, (a, b) => {
        const s = mixedSalinity([a, b]);
        expect(s).toBeGreaterThanOrEqual(Math.min(a.salinity, b.salinity) - 1e-9);
        expect(s).toBeLessThanOrEqual(Math.max(a.salinity, b.salinity) + 1e-9);
      }),
      runs,
    );
  });
  it('salt added to raise is the salt that is then there more', () => {
    fc.assert(
      fc.property(between(1, 500), between(0, 30), between(0.5, 8), between(1, 1.18), (kg, from, by, h) => {
        const product = saltToRaise(kg, from, from + by, h) / 1000;
        const before = kg * saltPerKilogram(from);
        const after = (kg + product) * saltPerKilogram(from + by);
        expect(after - before).toBeCloseTo((1000 * product) / h, 6);
      }),
      runs,
    );
  });
  it('lowering and raising again returns the salt of the water', () => {
    const water = freshWaterToLower(100, 36, 33);
    expect((100 + water) * saltPerKilogram(33)).toBeCloseTo(100 * saltPerKilogram(36), 9);
    expect(saltForVolume(100, 35, 25)).toBeCloseTo(waterMass(100, 35, 25) * saltPerKilogram(35), 9);
  });
});

describe('monotonicity', () => {
  const rising = (f: (x: number) => number, low: number, high: number): void => {
    let last = f(low);
    for (let i = 1; i <= 100; i += 1) {
      const next = f(low + ((high - low) * i) / 100);
      expect(next).toBeGreaterThan(last);
      last = next;
    }
  };
  it('density and refractive index rise with salinity', () => {
    for (const t of [5, 15, 25, 32]) {
      rising((s) => density(s, t), 0, 45);
      rising((s) => refractiveIndexQuanFry1995(s, t), 0, 40);
    }
  });
  it('free ammonia rises with pH and temperature and falls with salinity above 20', () => {
    const at = { pH: 8.1, pHScale: 'total', salinity: 35, temperatureC: 25 } as const;
    rising((pH) => freeAmmoniaFraction({ ...at, pH }), 6, 10);
    rising((temperatureC) => freeAmmoniaFraction({ ...at, temperatureC }), 0, 40);
    rising((x) => -freeAmmoniaFraction({ ...at, salinity: x }), 20, 40);
  });
  it('oxygen saturation falls with temperature and salinity and rises with pressure', () => {
    rising((x) => -oxygenSaturationMgL(35, x), 1, 35);
    rising((x) => -oxygenSaturationMgL(x, 25), 0, 42);
    rising((p) => oxygenSaturationMgL(35, 25, p), 0.6, 1.1);
  });
  it('pH in balance with the room rises with alkalinity and falls with CO2', () => {
    const room = { salinity: 35, temperatureC: 25, pHScale: 'NBS' } as const;
    rising((a) => airEquilibriumPH({ ...room, alkalinityMeqL: a, co2Ppm: 700 }), 0.5, 6);
    rising((c) => -airEquilibriumPH({ ...room, alkalinityMeqL: 2.3, co2Ppm: c }), 300, 5000);
  });
});

describe('pH scales', () => {
  it('lie apart at S 35, 25 °C as published', () => {
    expect(offsetFromTotal('NBS', 35, 25)).toBeCloseTo(0.137, 3);
    expect(offsetFromTotal('free', 35, 25)).toBeCloseTo(0.108, 3);
    expect(offsetFromTotal('SWS', 35, 25)).toBeCloseTo(-0.01, 3);
  });
  it('meet in fresh water', () => {
    for (const scale of ['NBS', 'free', 'SWS'] as const)
      expect(Math.abs(offsetFromTotal(scale, 0, 25))).toBe(0);
  });
  it('do not jump where the rule for dilute water takes over', () => {
    expect(offsetFromTotal('NBS', 19.999, 25)).toBeCloseTo(offsetFromTotal('NBS', 20.001, 25), 4);
  });
});

describe('the spread between formulations', () => {
  const grid = [20, 25, 30, 35, 40].flatMap((s) => [15, 20, 25, 30].map((t) => [s, t] as const));
  const range = (formulation: 'YM95' | 'JW80' | 'BELL07', pHScale: 'total' | 'free') => {
    const ratios = grid.map(([salinity, temperatureC]) => {
      const water = { pH: 7, pHScale, salinity, temperatureC };
      return freeAmmoniaFraction(water, formulation) / freeAmmoniaFraction(water) - 1;
    });
    return [Math.min(...ratios), Math.max(...ratios)] as const;
  };
  it('Yao & Millero give 2.6–5.8 % less NH3', () => {
    const [low, high] = range('YM95', 'total');
    expect(low).toBeGreaterThan(-0.06);
    expect(high).toBeLessThan(-0.025);
  });
  it('Johansson & Wedborg lie from 5.5 % less to 1.7 % more', () => {
    const [low, high] = range('JW80', 'total');
    expect(low).toBeGreaterThan(-0.056);
    expect(high).toBeLessThan(0.018);
  });
  it('the refit of Khoo et al. lies within 3 % on the free scale', () => {
    const [low, high] = range('BELL07', 'free');
    expect(low).toBeGreaterThan(-0.03);
    expect(high).toBeLessThan(0.003);
  });
  it('is told as an error, larger for an NBS reading, whose junction counts', () => {
    const water = { pH: 8.2, salinity: 35, temperatureC: 25 };
    expect(ammoniaSpread({ ...water, pHScale: 'total' }).relativeError).toBeCloseTo(0.03, 9);
    expect(ammoniaSpread({ ...water, pHScale: 'NBS' }).relativeError).toBeCloseTo(0.0915, 3);
  });
  it('leaves the fresh-water formulation out of seawater', () => {
    const codes = (salinity: number) =>
      ammoniaSpread({ pH: 8, pHScale: 'NBS', salinity, temperatureC: 25 }).answers.map(
        (each) => each.formulation,
      );
    expect(codes(35)).not.toContain('EM75');
    expect(codes(0.2)).toContain('EM75');
  });
  it('reproduces the published constants at S 35, 25 °C', () => {
    expect(pKAmmonium(35, 25, 'free')).toBeCloseTo(9.354, 3);
    expect(pKAmmonium(35, 25, 'NBS')).toBeCloseTo(9.383, 3);
  });
  it('the two refractive indices agree within 2.5e-5 for S up to 35', () => {
    for (let s = 0; s <= 35; s += 5)
      for (let t = 0; t <= 30; t += 5) {
        const difference = refractiveIndexQuanFry1995(s, t) - refractiveIndexMillardSeaver1990(s, t);
        expect(Math.abs(difference)).toBeLessThan(3.5e-5);
      }
  });
});

describe('the carbonate system', () => {
  it('handbook constants move pH by less than 0.001', () => {
    const water = { salinity: 35, temperatureC: 25 };
    const pair = { alkalinity: 2300, dic: 2000 };
    const own = carbonateSystem(pair, water).pH;
    const handbook = carbonateSystem(pair, {
      ...water,
      constants: { water: 'DSC07', phosphoric: 'DSC07', fluoride: 'PF87' },
    }).pH;
    expect(Math.abs(own - handbook)).toBeLessThan(0.001);
  });
  it('half or twice the boron moves pH in a room by +0.007 to −0.014', () => {
    const at = (boronFactor: number) =>
      carbonateSystem({ alkalinity: 2300, pCO2: 407 }, { salinity: 35, temperatureC: 25, boronFactor }).pH;
    expect(at(0.5) - at(1)).toBeCloseTo(0.007, 3);
    expect(at(2) - at(1)).toBeCloseTo(-0.014, 3);
  });
  it('chooses the constants of dilute water below S 19', () => {
    expect(equilibria(10, 25).k1).toBe(equilibria(10, 25, { carbonic: 'M10' }).k1);
    expect(equilibria(35, 25).k1).toBe(equilibria(35, 25, { carbonic: 'L00' }).k1);
  });
  it('natural surface seawater is oversaturated for aragonite about threefold', () => {
    expect(aragoniteSaturation(1e6 * totalCalcium(35), 213.4, 35, 25)).toBeCloseTo(3.39, 1);
  });
  it('has no answer where none exists', () => {
    const none = carbonateSystem({ dic: 10, pCO2: 1e6 }, { salinity: 35, temperatureC: 25 });
    expect(none.pH).toBeNaN();
  });
});

describe('a refractometer without temperature compensation', () => {
  it('shows about 0.6 too little for each degree above 20', () => {
    expect(uncompensatedRefractometerSalinity(35, 20)).toBeCloseTo(35, 9);
    expect(35 - uncompensatedRefractometerSalinity(35, 21)).toBeCloseTo(0.6, 1);
  });
});
