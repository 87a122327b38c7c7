import {
  alkalinityUmolKg,
  ammoniaSpread,
  aragoniteSaturation,
  type CarbonateSystem,
  caCO3FromMeqL,
  carbonateSystem,
  checked,
  conductivityFromSalinity,
  convertConcentration,
  convertPH,
  density,
  dKHFromMeqL,
  exactly,
  FORMULATION_RELATIVE_ERROR,
  freeAmmoniaFraction,
  heatCapacity,
  inBalanceWithAir,
  LUEKER_LOWEST_SALINITY,
  type Measured,
  NBS_JUNCTION_ERROR,
  oxygenSaturationMgL,
  oxygenSaturationUmolKg,
  type PHScale,
  pHScales,
  propagate,
  type RelationId,
  referencePairs,
  refractiveIndexMillardSeaver1990,
  refractiveIndexQuanFry1995,
  refractometerReading,
  saltPerKilogram,
  setRefractometer,
  specificGravity,
  totalCalcium,
  trisBufferPH,
  waterVapourPressure,
} from '@brinewright/seawater';
import { calciumUmolKg } from '../buffering/alkalinity.ts';
import { type Figure, figure, type Step, stepBy, type Worked, worked } from '../worked.ts';

/** What is known of one water. Temperature and salinity always; the rest where it was measured. */
export type KnownWater = {
  temperatureC: Measured;
  salinity: Measured;
  pH?: Measured | undefined;
  pHScale: PHScale;
  alkalinityMeqL?: Measured | undefined;
  /** Total ammonia, mg/L as N. */
  ammonia?: Measured | undefined;
  /** mg/L. */
  calcium?: Measured | undefined;
  /** CO2 of the room, ppm of dry air. */
  roomCO2: Measured;
  /** Barometer, atm. */
  pressureAtm: Measured;
};

/** A part of the answer, with the relations it rests on. */
type Part = { results: Figure[]; working: Step[]; relations: RelationId[] };

/** Everything that can be said of one water. */
export function describeWater(water: KnownWater): Worked {
  const parts = [
    physics(water),
    instruments(water),
    gases(water),
    acidity(water),
    carbonate(water),
    ammonia(water),
  ];
  const at = { salinity: water.salinity.value, temperatureC: water.temperatureC.value };
  return worked({
    results: parts.flatMap(({ results }) => results),
    working: parts.flatMap(({ working }) => working),
    tables: water.pH ? [formulationTable(water, water.pH.value)] : [],
    warnings: [
      ...(water.pH && water.pHScale === 'NBS'
        ? [
            'An NBS reading in seawater carries the junction of its own probe, some ±0.04 pH; colour kits ±0.2.',
          ]
        : []),
      ...(water.alkalinityMeqL
        ? [
            'Boron is taken to follow salinity as in the sea; salt mixes may hold half or twice as much, worth up to 0.014 pH.',
          ]
        : []),
    ],
    outside: checked(
      0,
      parts.flatMap(({ relations }) => relations),
      at,
    ).outside,
  });
}

const st = ({ salinity, temperatureC }: KnownWater) => ({ s: salinity, t: temperatureC });

function physics(water: KnownWater): Part {
  const at = st(water);
  const rho = propagate(({ s, t }) => density(s, t), at);
  const conductivity = propagate(({ s, t }) => conductivityFromSalinity(s, t), at);
  return {
    results: [
      figure('density', 'Density', rho, 'kg/m³', 6),
      figure(
        'saltPerKg',
        'Salt',
        propagate(({ s }) => saltPerKilogram(s), at),
        'g/kg',
      ),
      figure(
        'saltPerLitre',
        'Salt',
        propagate(({ s, t }) => (saltPerKilogram(s) * density(s, t)) / 1000, at),
        'g/L',
      ),
      figure('conductivity', 'Conductivity as it is', conductivity, 'mS/cm'),
      figure(
        'conductivity25',
        'Conductivity at 25 °C',
        propagate(({ s }) => conductivityFromSalinity(s, 25), at),
        'mS/cm',
      ),
      figure(
        'heatCapacity',
        'Heat capacity',
        propagate(({ s, t }) => heatCapacity(s, t), at),
        'J/(kg K)',
      ),
    ],
    working: [
      stepBy('density', 'density', rho, 'kg/m³'),
      stepBy('practical-salinity', 'conductivity', conductivity, 'mS/cm'),
    ],
    relations: [
      'density',
      water.salinity.value < 2 ? 'practical-salinity-low' : 'practical-salinity',
      'heat-capacity',
    ],
  };
}

function instruments(water: KnownWater): Part {
  const at = st(water);
  const n = propagate(({ s, t }) => refractiveIndexQuanFry1995(s, t), at);
  const brine = setRefractometer('brine', 0, 0);
  return {
    results: [
      ...Object.entries(referencePairs).map(([name, pair]) =>
        figure(
          `sg ${name}`,
          `Specific gravity ${name}`,
          propagate(({ s }) => specificGravity(s, pair), at),
          'SG',
          6,
        ),
      ),
      figure('refractiveIndex', 'Refractive index, sodium D', n, '', 6),
      figure(
        'refractiveIndexSpread',
        'The same by the other relation, less the first',
        refractiveIndexMillardSeaver1990(at.s.value, at.t.value) - n.value,
        '',
      ),
      figure(
        'brineReading',
        'A brine refractometer zeroed with pure water shows',
        propagate(({ s }) => refractometerReading(s, brine), at),
        '',
      ),
    ],
    working: [
      stepBy(
        'specific-gravity',
        'specific gravity',
        specificGravity(at.s.value, referencePairs['25/25']),
        '',
      ),
      stepBy('refractive-index-QF95', 'refractive index', n, ''),
    ],
    relations: ['refractive-index-QF95'],
  };
}

function gases(water: KnownWater): Part {
  const at = { ...st(water), p: water.pressureAtm };
  const oxygen = propagate(({ s, t, p }) => oxygenSaturationMgL(s, t, p), at);
  return {
    results: [
      figure('oxygen', 'Oxygen when saturated', oxygen, 'mg/L'),
      figure(
        'oxygenUmolKg',
        'Oxygen when saturated',
        propagate(({ s, t, p }) => oxygenSaturationUmolKg(s, t, p), at),
        'µmol/kg',
      ),
      figure(
        'vapourPressure',
        'Vapour pressure',
        propagate(({ s, t }) => waterVapourPressure(s, t), at),
        'atm',
      ),
    ],
    working: [stepBy('oxygen', 'oxygen saturation', oxygen, 'mg/L')],
    relations: ['oxygen'],
  };
}

/** A pH carried between NBS and a concentration scale, with the error of the electrode's junction. */
const acrossJunction = ({ value, sd }: Measured): Measured => ({
  value,
  sd: Math.hypot(sd, NBS_JUNCTION_ERROR),
});

function acidity(water: KnownWater): Part {
  const at = st(water);
  const tris = propagate(({ s, t }) => trisBufferPH(s, t), at);
  const buffer = figure('trisBuffer', 'A Tris seawater buffer would read, total scale', tris, '');
  const { pH, pHScale } = water;
  if (!pH) return { results: [buffer], working: [], relations: [] };
  return {
    results: [
      ...pHScales.map((scale) =>
        figure(
          `pH ${scale}`,
          `pH, ${scale} scale`,
          propagate(({ p, s, t }) => convertPH(p, pHScale, scale, s, t), {
            ...at,
            p: (scale === 'NBS') === (pHScale === 'NBS') ? pH : acrossJunction(pH),
          }),
          '',
        ),
      ),
      buffer,
    ],
    working: [
      stepBy(
        pHScale === 'NBS' ? 'ph-nbs' : 'ph-seawater',
        'pH, total scale',
        convertPH(pH.value, pHScale, 'total', at.s.value, at.t.value),
        '',
      ),
    ],
    relations: [pHScale === 'NBS' ? 'ph-nbs' : 'ph-seawater'],
  };
}

function carbonate(water: KnownWater): Part {
  const { alkalinityMeqL, pH, pHScale, roomCO2 } = water;
  if (!alkalinityMeqL) return { results: [], working: [], relations: [] };
  const salinity = water.salinity.value;
  const relation = salinity < LUEKER_LOWEST_SALINITY ? 'carbonate-system-low' : 'carbonate-system';
  const at = { ...st(water), a: alkalinityMeqL };
  const inRoom = { ...at, x: roomCO2 };
  const balanced = (n: Record<'s' | 't' | 'a' | 'x', number>): CarbonateSystem =>
    inBalanceWithAir(
      alkalinityUmolKg(n.a, n.s, n.t),
      n.x,
      { salinity: n.s, temperatureC: n.t },
      water.pressureAtm.value,
    );
  const balancedPH = propagate((n) => convertPH(balanced(n).pH, 'total', 'NBS', n.s, n.t), inRoom);
  const scales = [
    figure('alkalinity', 'Alkalinity', alkalinityMeqL, 'meq/L'),
    figure(
      'alkalinityDKH',
      'Alkalinity',
      propagate(({ a }) => dKHFromMeqL(a), at),
      'dKH',
    ),
    figure(
      'alkalinityCaCO3',
      'Alkalinity',
      propagate(({ a }) => caCO3FromMeqL(a), at),
      'mg/L CaCO3',
    ),
    figure(
      'alkalinityUmolKg',
      'Alkalinity',
      propagate(({ a, s, t }) => alkalinityUmolKg(a, s, t), at),
      'µmol/kg',
    ),
    figure(
      'pHInRoom',
      `pH (NBS) in balance with a room at ${roomCO2.value.toFixed(0)} ppm CO2`,
      balancedPH,
      '',
    ),
  ];
  const working = [stepBy(relation, 'pH in balance with the room', balancedPH, '')];
  if (!pH) {
    const omega = propagate((n) => saturationOf(n.ca, balanced(n), n.s, n.t), {
      ...inRoom,
      ca: calciumOf(water),
    });
    return {
      results: [...scales, figure('aragonite', 'Aragonite saturation in balance with the room', omega, '')],
      working,
      relations: [relation, 'calcium-carbonate'],
    };
  }
  const known = { ...at, p: pHScale === 'NBS' ? acrossJunction(pH) : pH };
  const system = (n: Record<'s' | 't' | 'a' | 'p', number>): CarbonateSystem =>
    carbonateSystem(
      { alkalinity: alkalinityUmolKg(n.a, n.s, n.t), pH: convertPH(n.p, pHScale, 'total', n.s, n.t) },
      { salinity: n.s, temperatureC: n.t },
    );
  const of = (name: keyof CarbonateSystem): Measured => propagate((n) => system(n)[name], known);
  return {
    results: [
      ...scales,
      figure('dic', 'Dissolved inorganic carbon', of('dic'), 'µmol/kg'),
      figure('co2', 'Carbon dioxide', of('co2'), 'µmol/kg'),
      figure('bicarbonate', 'Bicarbonate', of('bicarbonate'), 'µmol/kg'),
      figure('carbonate', 'Carbonate', of('carbonate'), 'µmol/kg'),
      figure('borate', 'Borate', of('borate'), 'µmol/kg'),
      figure('pCO2', 'Partial pressure of CO2', of('pCO2'), 'µatm'),
      figure('airCO2', 'Air in balance with it would hold', of('xCO2'), 'ppm CO2'),
      figure(
        'aragonite',
        'Aragonite saturation',
        propagate((n) => saturationOf(n.ca, system(n), n.s, n.t), { ...known, ca: calciumOf(water) }),
        '',
      ),
    ],
    working: [...working, stepBy(relation, 'dissolved inorganic carbon', of('dic'), 'µmol/kg')],
    relations: [relation, 'calcium-carbonate'],
  };
}

/** Calcium, mg/L: measured, or that of natural seawater of this salinity. */
const calciumOf = (water: KnownWater): Measured =>
  water.calcium ??
  exactly(
    convertConcentration(
      1e6 * totalCalcium(water.salinity.value),
      { unit: 'umol/kg', substance: 'Ca' },
      { unit: 'mg/L', substance: 'Ca' },
      density(water.salinity.value, water.temperatureC.value),
    ),
  );

/** Aragonite saturation of a system with this much calcium, mg/L. */
const saturationOf = (calcium: number, system: CarbonateSystem, s: number, t: number): number =>
  aragoniteSaturation(calciumUmolKg(calcium, s, t), system.carbonate, s, t);

function ammonia(water: KnownWater): Part {
  const { pH, pHScale, ammonia: total } = water;
  if (!pH) return { results: [], working: [], relations: [] };
  const at = { ...st(water), p: pH };
  const share = (n: Record<'s' | 't' | 'p', number>): number =>
    freeAmmoniaFraction({ pH: n.p, pHScale, salinity: n.s, temperatureC: n.t });
  const spread = ammoniaSpread({
    pH: pH.value,
    pHScale,
    salinity: water.salinity.value,
    temperatureC: water.temperatureC.value,
  });
  const withChoice = ({ value, sd }: Measured): Measured => ({
    value,
    sd: Math.hypot(sd, value * spread.relativeError),
  });
  const fraction = withChoice(propagate(share, at));
  return {
    results: [
      figure(
        'freeAmmonia',
        'Share of ammonia that is un-ionised',
        { value: 100 * fraction.value, sd: 100 * fraction.sd },
        '%',
      ),
      ...(total
        ? [
            figure(
              'freeAmmoniaN',
              'Un-ionised ammonia',
              withChoice(propagate((n) => n.c * share(n), { ...at, c: total })),
              'mg/L as N',
            ),
          ]
        : []),
    ],
    working: [
      stepBy('ammonium-CW95', 'share of un-ionised ammonia', fraction, ''),
      {
        quantity: 'error from the choice of formulation',
        value: 100 * FORMULATION_RELATIVE_ERROR,
        sd: 0,
        unit: '%',
        relation: 'spread of formulations over S 20–40, 15–30 °C',
        source: 'our comparison',
      },
    ],
    relations: ['ammonium-CW95'],
  };
}

/** The formulations beside each other for this water. */
function formulationTable(water: KnownWater, pH: number) {
  const { answers } = ammoniaSpread({
    pH,
    pHScale: water.pHScale,
    salinity: water.salinity.value,
    temperatureC: water.temperatureC.value,
  });
  return {
    title: 'Un-ionised share by formulation',
    columns: answers.map(({ title }) => ({ title, unit: '%' })),
    rows: [answers.map(({ fraction }) => 100 * fraction)],
  };
}
