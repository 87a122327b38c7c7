import {
  alkalinityUmolKg,
  type CarbonateSystem,
  carbonateSystem,
  convertPH,
  fromNitrogen,
  type Measured,
  meqLFromUmolKg,
  mixByMass,
  mixedSalinity,
  mixedTemperature,
  type Parcel,
  propagate,
  rangeOf,
  waterLitres,
  waterMass,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { type Figure, figure, type Step, step, stepBy, type Worked, worked } from '../worked.ts';

/** One of two waters; what is not known of both is left out of the answer. */
export type Water = {
  litres: Measured;
  salinity: Measured;
  temperatureC: Measured;
  alkalinityMeqL?: Measured | undefined;
  /** mg/L as N. */
  nitrate?: Measured | undefined;
  /** NBS. */
  pH?: Measured | undefined;
};

/** The two waters' numbers as one flat record, for error propagation. */
type Numbers = Record<'v1' | 's1' | 't1' | 'v2' | 's2' | 't2', number>;

const parcels = (n: Numbers): [Parcel, Parcel] => [
  { kg: waterMass(n.v1, n.s1, n.t1), salinity: n.s1, temperatureC: n.t1 },
  { kg: waterMass(n.v2, n.s2, n.t2), salinity: n.s2, temperatureC: n.t2 },
];

const mixedLitres = (n: Numbers): number => {
  const both = parcels(n);
  return waterLitres(both[0].kg + both[1].kg, mixedSalinity(both), mixedTemperature(both));
};

/** What two waters become: salinity and temperature, and alkalinity, nitrate and pH where both are known. */
export function blend(first: Water, second: Water): Worked {
  const base = {
    v1: first.litres,
    s1: first.salinity,
    t1: first.temperatureC,
    v2: second.litres,
    s2: second.salinity,
    t2: second.temperatureC,
  };
  if (first.litres.value + second.litres.value <= 0)
    throw new InputFault('litres', 'there is no water', 'Give the litres of both waters.');
  const salinity = propagate((n) => mixedSalinity(parcels(n)), base);
  const temperature = propagate((n) => mixedTemperature(parcels(n)), base);
  const results: Figure[] = [
    figure('salinity', 'Salinity', salinity, ''),
    figure('temperature', 'Temperature', temperature, '°C'),
    figure('litres', 'Volume', propagate(mixedLitres, base), 'L'),
  ];
  const working: Step[] = [
    step('mass of the first water', parcels(centre(base))[0].kg, 'kg', 'volume × density', 'MP81'),
    step('mass of the second water', parcels(centre(base))[1].kg, 'kg', 'volume × density', 'MP81'),
    step('salinity', salinity, '', 'mean by mass', 'MFWM08'),
    stepBy('heat-capacity', 'temperature', temperature, '°C'),
  ];
  if (first.nitrate && second.nitrate) {
    const nitrate = propagate(
      (n) => {
        const both = parcels(n);
        const grams = n.v1 * n.n1 + n.v2 * n.n2;
        return grams / waterLitres(both[0].kg + both[1].kg, mixedSalinity(both), mixedTemperature(both));
      },
      { ...base, n1: first.nitrate, n2: second.nitrate },
    );
    results.push(
      figure('nitrate', 'Nitrate', nitrate, 'mg/L as N'),
      figure('nitrateNO3', 'Nitrate', inNO3(nitrate), 'mg/L as NO3'),
    );
    working.push(step('nitrate', nitrate, 'mg/L as N', 'mass conserved'));
  }
  if (first.alkalinityMeqL && second.alkalinityMeqL) {
    const alkalinity = propagate(
      (n) => {
        const both = parcels(n);
        const mean = mixByMass([
          { kg: both[0].kg, value: alkalinityUmolKg(n.a1, n.s1, n.t1) },
          { kg: both[1].kg, value: alkalinityUmolKg(n.a2, n.s2, n.t2) },
        ]);
        return meqLFromUmolKg(mean, mixedSalinity(both), mixedTemperature(both));
      },
      { ...base, a1: first.alkalinityMeqL, a2: second.alkalinityMeqL },
    );
    results.push(figure('alkalinity', 'Alkalinity', alkalinity, 'meq/L'));
    working.push(step('alkalinity', alkalinity, 'meq/L', 'µmol/kg by mass', 'D81'));
    if (first.pH && second.pH) {
      const pH = propagate((n) => mixedPH(n), {
        ...base,
        a1: first.alkalinityMeqL,
        a2: second.alkalinityMeqL,
        p1: first.pH,
        p2: second.pH,
      });
      results.push(figure('pH', 'pH (NBS) before any gas is exchanged', pH, ''));
      working.push(stepBy('carbonate-system', 'pH from mixed alkalinity and inorganic carbon', pH, ''));
    }
  }
  const gap = Math.abs(first.temperatureC.value - second.temperatureC.value);
  return worked({
    results,
    working,
    warnings:
      gap > 2
        ? [`The waters differ by ${gap.toFixed(1)} °C; with animals in one of them 2 °C is the most.`]
        : [],
    outside: [
      ...rangeOf('density', { salinity: first.salinity.value, temperatureC: first.temperatureC.value }),
      ...rangeOf('density', { salinity: second.salinity.value, temperatureC: second.temperatureC.value }),
    ],
    cautions: ['CAU-E3'],
    entries: [
      {
        kind: 'exchange',
        body: {
          litres: second.litres.value,
          salinity: second.salinity.value,
          temperatureC: second.temperatureC.value,
          ...(second.alkalinityMeqL ? { alkalinityMeqL: second.alkalinityMeqL.value } : {}),
          ...(second.nitrate ? { nitrateMgL: second.nitrate.value, nitrateAs: 'N' as const } : {}),
        },
      },
    ],
  });
}

/** Nitrate as N counted as NO3. */
export const inNO3 = ({ value, sd }: Measured): Measured => ({
  value: fromNitrogen(value, 'NO3'),
  sd: fromNitrogen(sd, 'NO3'),
});

const centre = <K extends string>(inputs: Record<K, Measured>): Record<K, number> =>
  Object.fromEntries(Object.entries<Measured>(inputs).map(([name, { value }]) => [name, value])) as Record<
    K,
    number
  >;

/** pH (NBS) of two waters mixed: alkalinity and DIC mix by mass, pH follows. */
function mixedPH(n: Numbers & Record<'a1' | 'a2' | 'p1' | 'p2', number>): number {
  const [one, two] = parcels(n);
  const first = systemOf(n.a1, n.p1, n.s1, n.t1);
  const second = systemOf(n.a2, n.p2, n.s2, n.t2);
  const mean = (pick: (system: CarbonateSystem) => number): number =>
    mixByMass([
      { kg: one.kg, value: pick(first) },
      { kg: two.kg, value: pick(second) },
    ]);
  const salinity = mixedSalinity([one, two]);
  const temperatureC = mixedTemperature([one, two]);
  const mixed = carbonateSystem(
    { alkalinity: mean((s) => s.alkalinity), dic: mean((s) => s.dic) },
    { salinity, temperatureC },
  );
  return convertPH(mixed.pH, 'total', 'NBS', salinity, temperatureC);
}

/** Carbonate system from alkalinity in meq/L and an NBS reading. */
export const systemOf = (
  meqL: number,
  pHNBS: number,
  salinity: number,
  temperatureC: number,
): CarbonateSystem =>
  carbonateSystem(
    {
      alkalinity: alkalinityUmolKg(meqL, salinity, temperatureC),
      pH: convertPH(pHNBS, 'NBS', 'total', salinity, temperatureC),
    },
    { salinity, temperatureC },
  );
