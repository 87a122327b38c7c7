import {
  alkalinityUmolKg,
  type CarbonateSystem,
  carbonateSystem,
  convertPH,
  freeAmmoniaFraction,
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
  /** Total ammonia, mg/L as N. */
  ammonia?: Measured | undefined;
  /** NBS. */
  pH?: Measured | undefined;
};

/** The two waters' numbers as one flat record, for error propagation. */
type Base = Record<'v1' | 's1' | 't1' | 'v2' | 's2' | 't2', Measured>;
type Numbers = Record<keyof Base, number>;

/** A part of the answer. */
type Part = { results: Figure[]; working: Step[]; warnings?: string[] };

const nothing: Part = { results: [], working: [] };

const parcels = (n: Numbers): [Parcel, Parcel] => [
  { kg: waterMass(n.v1, n.s1, n.t1), salinity: n.s1, temperatureC: n.t1 },
  { kg: waterMass(n.v2, n.s2, n.t2), salinity: n.s2, temperatureC: n.t2 },
];

/** What a mixture is like before anything dissolved is asked for. */
function mixtureOf(n: Numbers): { litres: number; salinity: number; temperatureC: number } {
  const both = parcels(n);
  const salinity = mixedSalinity(both);
  const temperatureC = mixedTemperature(both);
  return { litres: waterLitres(both[0].kg + both[1].kg, salinity, temperatureC), salinity, temperatureC };
}

/** A mean by mass of something counted per kilogram. */
function meanByMass(n: Numbers, first: number, second: number): number {
  const [one, two] = parcels(n);
  return mixByMass([
    { kg: one.kg, value: first },
    { kg: two.kg, value: second },
  ]);
}

/** mg/L of a substance once both waters are one: its mass is conserved. */
const dissolved = (base: Base, first: Measured, second: Measured): Measured =>
  propagate((n) => (n.v1 * n.c1 + n.v2 * n.c2) / mixtureOf(n).litres, { ...base, c1: first, c2: second });

/** What two waters become: salinity and temperature, and whatever else is known of both. */
export function blend(first: Water, second: Water): Worked {
  if (first.litres.value + second.litres.value <= 0)
    throw new InputFault('litres', 'there is no water', 'Give the litres of both waters.');
  const base: Base = {
    v1: first.litres,
    s1: first.salinity,
    t1: first.temperatureC,
    v2: second.litres,
    s2: second.salinity,
    t2: second.temperatureC,
  };
  const gap = Math.abs(first.temperatureC.value - second.temperatureC.value);
  const parts = [
    physics(base),
    nitrate(base, first, second),
    alkalinity(base, first, second),
    acidity(base, first, second),
    ammonia(base, first, second),
  ];
  return worked({
    results: parts.flatMap(({ results }) => results),
    working: parts.flatMap(({ working }) => working),
    warnings: [
      ...(gap > 2
        ? [`The waters differ by ${gap.toFixed(1)} °C; with animals in one of them 2 °C is the most.`]
        : []),
      ...parts.flatMap(({ warnings = [] }) => warnings),
    ],
    outside: [first, second].flatMap(({ salinity, temperatureC }) =>
      rangeOf('density', { salinity: salinity.value, temperatureC: temperatureC.value }),
    ),
    cautions: ['CAU-E3'],
    entries: [{ kind: 'exchange', body: exchangeBy(second) }],
  });
}

const exchangeBy = ({ litres, salinity, temperatureC, alkalinityMeqL, nitrate: held }: Water) => ({
  litres: litres.value,
  salinity: salinity.value,
  temperatureC: temperatureC.value,
  ...(alkalinityMeqL ? { alkalinityMeqL: alkalinityMeqL.value } : {}),
  ...(held ? { nitrateMgL: held.value, nitrateAs: 'N' as const } : {}),
});

function physics(base: Base): Part {
  const salinity = propagate((n) => mixtureOf(n).salinity, base);
  const temperature = propagate((n) => mixtureOf(n).temperatureC, base);
  return {
    results: [
      figure('salinity', 'Salinity', salinity, ''),
      figure('temperature', 'Temperature', temperature, '°C'),
      figure(
        'litres',
        'Volume',
        propagate((n) => mixtureOf(n).litres, base),
        'L',
      ),
    ],
    working: [
      stepBy(
        'density',
        'mass of the first water',
        propagate((n) => parcels(n)[0].kg, base),
        'kg',
      ),
      stepBy(
        'density',
        'mass of the second water',
        propagate((n) => parcels(n)[1].kg, base),
        'kg',
      ),
      step('salinity', salinity, '', 'mean by mass', 'MFWM08'),
      stepBy('heat-capacity', 'temperature', temperature, '°C'),
    ],
  };
}

function nitrate(base: Base, first: Water, second: Water): Part {
  if (!first.nitrate || !second.nitrate) return nothing;
  const mixed = dissolved(base, first.nitrate, second.nitrate);
  const inNO3 = { value: fromNitrogen(mixed.value, 'NO3'), sd: fromNitrogen(mixed.sd, 'NO3') };
  return {
    results: [
      figure('nitrate', 'Nitrate', mixed, 'mg/L as N'),
      figure('nitrateNO3', 'Nitrate', inNO3, 'mg/L as NO3'),
    ],
    working: [step('nitrate', mixed, 'mg/L as N', 'mass conserved')],
  };
}

function alkalinity(base: Base, first: Water, second: Water): Part {
  if (!first.alkalinityMeqL || !second.alkalinityMeqL) return nothing;
  const mixed = propagate(
    (n) => {
      const { salinity, temperatureC } = mixtureOf(n);
      const mean = meanByMass(n, alkalinityUmolKg(n.a1, n.s1, n.t1), alkalinityUmolKg(n.a2, n.s2, n.t2));
      return meqLFromUmolKg(mean, salinity, temperatureC);
    },
    { ...base, a1: first.alkalinityMeqL, a2: second.alkalinityMeqL },
  );
  return {
    results: [figure('alkalinity', 'Alkalinity', mixed, 'meq/L')],
    working: [step('alkalinity', mixed, 'meq/L', 'µmol/kg by mass', 'D81')],
  };
}

/** pH and alkalinity of both waters beside the base, or undefined where any is not known. */
function carbonateInputs(base: Base, first: Water, second: Water) {
  if (!first.alkalinityMeqL || !second.alkalinityMeqL || !first.pH || !second.pH) return undefined;
  return { ...base, a1: first.alkalinityMeqL, a2: second.alkalinityMeqL, p1: first.pH, p2: second.pH };
}

/** pH (NBS) of two waters mixed: alkalinity and DIC mix by mass, pH follows. */
function mixedPH(n: Numbers & Record<'a1' | 'a2' | 'p1' | 'p2', number>): number {
  const one = systemOf(n.a1, n.p1, n.s1, n.t1);
  const two = systemOf(n.a2, n.p2, n.s2, n.t2);
  const { salinity, temperatureC } = mixtureOf(n);
  const mixed = carbonateSystem(
    { alkalinity: meanByMass(n, one.alkalinity, two.alkalinity), dic: meanByMass(n, one.dic, two.dic) },
    { salinity, temperatureC },
  );
  return convertPH(mixed.pH, 'total', 'NBS', salinity, temperatureC);
}

function acidity(base: Base, first: Water, second: Water): Part {
  const inputs = carbonateInputs(base, first, second);
  if (!inputs) return nothing;
  const pH = propagate(mixedPH, inputs);
  return {
    results: [figure('pH', 'pH (NBS) before any gas is exchanged', pH, '')],
    working: [stepBy('carbonate-system', 'pH from mixed alkalinity and inorganic carbon', pH, '')],
  };
}

/** Un-ionised ammonia, mg/L as N, from total ammonia and an NBS reading. */
const unionised = (total: number, pH: number, salinity: number, temperatureC: number): number =>
  total * freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity, temperatureC });

function ammonia(base: Base, first: Water, second: Water): Part {
  if (!first.ammonia || !second.ammonia) return nothing;
  const total = dissolved(base, first.ammonia, second.ammonia);
  const results = [figure('ammonia', 'Total ammonia', total, 'mg/L as N')];
  const working = [step('total ammonia', total, 'mg/L as N', 'mass conserved')];
  const inputs = carbonateInputs(base, first, second);
  if (!inputs) return { results, working };
  const before = propagate((n) => unionised(n.c1, n.p1, n.s1, n.t1), { ...inputs, c1: first.ammonia });
  const after = propagate(
    (n) => {
      const { litres, salinity, temperatureC } = mixtureOf(n);
      return unionised((n.v1 * n.c1 + n.v2 * n.c2) / litres, mixedPH(n), salinity, temperatureC);
    },
    { ...inputs, c1: first.ammonia, c2: second.ammonia },
  );
  return {
    results: [
      ...results,
      figure('freeBefore', 'Un-ionised in the first water', before, 'mg/L as N'),
      figure('freeAfter', 'Un-ionised in the mixture', after, 'mg/L as N'),
    ],
    working: [...working, stepBy('ammonium-CW95', 'un-ionised ammonia in the mixture', after, 'mg/L as N')],
    warnings:
      after.value > before.value
        ? [
            'Total ammonia falls, but un-ionised ammonia rises with the pH: with animals in the water bring the new water to the same pH first.',
          ]
        : [],
  };
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
