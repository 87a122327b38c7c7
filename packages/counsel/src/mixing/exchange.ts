import {
  fromNitrogen,
  heatCapacity,
  hydrationPrior,
  type Measured,
  mixedTemperature,
  propagate,
  root,
  saltForVolume,
  waterMass,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { figure, step, stepBy, type Table, type Worked, worked } from '../worked.ts';

/** Largest share of the water to change at once with animals in it; customary. */
export const LARGEST_SHARE = 0.5;

/** Known numbers of a water, by analyte; mg/L, meq/L or none, as each is counted. */
export type Analytes = {
  /** mg/L as N. */
  nitrate: Measured;
  ammonia?: Measured | undefined;
  alkalinity?: Measured | undefined;
  phosphate?: Measured | undefined;
  salinity?: Measured | undefined;
};

/** What of a concentration is left after `count` changes of `share`, with new water at `fresh`. */
export const afterChanges = (now: number, fresh: number, share: number, count: number): number =>
  fresh + (now - fresh) * (1 - share) ** count;

const columns = [
  { key: 'nitrate', title: 'Nitrate', unit: 'mg/L as NO3', show: (n: number) => fromNitrogen(n, 'NO3') },
  { key: 'ammonia', title: 'Total ammonia', unit: 'mg/L as N', show: (n: number) => n },
  { key: 'alkalinity', title: 'Alkalinity', unit: 'meq/L', show: (n: number) => n },
  { key: 'phosphate', title: 'Phosphate', unit: 'mg/L as P', show: (n: number) => n },
  { key: 'salinity', title: 'Salinity', unit: '', show: (n: number) => n },
] as const satisfies readonly {
  key: keyof Analytes;
  title: string;
  unit: string;
  show: (n: number) => number;
}[];

/** A plan of equal water changes down to a nitrate target, and what everything known becomes after each. */
export function changesToTarget(plan: {
  litres: Measured;
  now: Analytes;
  fresh: Analytes;
  target: Measured;
  count: number;
  temperatureC: Measured;
  newSalinity: Measured;
  hydration?: Measured | undefined;
}): Worked {
  const { litres, now, fresh, target, count, temperatureC, newSalinity } = plan;
  if (!Number.isInteger(count) || count < 1)
    throw new InputFault('changes', `${count} is no whole number of changes`, 'Write 1, 2, 3 …');
  if (target.value >= now.nitrate.value)
    throw new InputFault('target', 'the water is there already', 'Write a target below the nitrate now.');
  if (target.value <= fresh.nitrate.value)
    throw new InputFault(
      'target',
      'the new water holds as much: no number of changes reaches it',
      'Use new water with less nitrate, or a higher target.',
    );
  const share = propagate(({ c, w, g }) => 1 - ((g - w) / (c - w)) ** (1 / count), {
    c: now.nitrate,
    w: fresh.nitrate,
    g: target,
  });
  const each = propagate(({ v, f }) => v * f, { v: litres, f: share });
  const salt = propagate(({ v, s, t, h }) => saltForVolume(v, s, t, h), {
    v: each,
    s: newSalinity,
    t: temperatureC,
    h: plan.hydration ?? hydrationPrior,
  });
  const tooLarge = share.value > LARGEST_SHARE;
  const fewest = Math.ceil(
    Math.log((target.value - fresh.nitrate.value) / (now.nitrate.value - fresh.nitrate.value)) /
      Math.log(1 - LARGEST_SHARE) -
      1e-9,
  );
  return worked({
    results: [
      figure(
        'share',
        'Share of the water in each change',
        { value: 100 * share.value, sd: 100 * share.sd },
        '%',
      ),
      figure('each', 'New water for each change', each, 'L'),
      figure('total', 'New water in all', { value: each.value * count, sd: each.sd * count }, 'L'),
      figure('salt', 'Salt mix for each change', salt, 'g'),
    ],
    tables: [tableOfChanges(now, fresh, share.value, count)],
    working: [
      step('share', share, '', '1 − ((target − new)/(now − new))^(1/n)', 'conservation of mass'),
      step('litres', each, 'L', 'share × volume'),
      stepBy(
        'density',
        'mass of one change',
        waterMass(each.value, newSalinity.value, temperatureC.value),
        'kg',
      ),
    ],
    warnings: [
      ...(tooLarge
        ? [
            `Each change would replace more than half of the water; with animals in it make ${fewest} changes or more.`,
          ]
        : []),
      'Match temperature within 1–2 °C and salinity within 1; measure nitrate the day after and compare.',
      ...(fresh.ammonia && fresh.ammonia.value > 0.1
        ? ['The new water holds ammonia above 0.1 mg/L as N: do not use it with animals, find the cause.']
        : []),
    ],
    cautions: each.value > 0.25 * litres.value ? ['CAU-E3', 'CAU-E4', 'CAU-W1'] : ['CAU-E3', 'CAU-W1'],
    entries: Array.from({ length: count }, () => ({
      kind: 'exchange' as const,
      body: {
        litres: Math.round(each.value * 100) / 100,
        salinity: newSalinity.value,
        temperatureC: temperatureC.value,
        nitrateMgL: fresh.nitrate.value,
        nitrateAs: 'N' as const,
        ...(fresh.alkalinity ? { alkalinityMeqL: fresh.alkalinity.value } : {}),
      },
    })),
  });
}

function tableOfChanges(now: Analytes, fresh: Analytes, share: number, count: number): Table {
  const known = columns.filter(({ key }) => now[key] !== undefined && fresh[key] !== undefined);
  return {
    title: 'After each change',
    columns: [{ title: 'Change', unit: '', digits: 1 }, ...known.map(({ title, unit }) => ({ title, unit }))],
    rows: Array.from({ length: count + 1 }, (_, i) => [
      i,
      ...known.map(({ key, show }) => show(afterChanges(now[key]!.value, fresh[key]!.value, share, i))),
    ]),
  };
}

/** How warm the new water must be so that the mixture has the temperature wanted. */
export function warmNewWater(change: {
  litres: Measured;
  share: Measured;
  tankC: Measured;
  wantedC: Measured;
  salinity: Measured;
}): Worked {
  const { litres, share, tankC, wantedC, salinity } = change;
  const mixed = (n: { f: number; tank: number; s: number }, newC: number): number =>
    mixedTemperature([
      { kg: 1 - n.f, salinity: n.s, temperatureC: n.tank },
      { kg: n.f, salinity: n.s, temperatureC: newC },
    ]);
  const inputs = { f: share, tank: tankC, s: salinity, goal: wantedC };
  const needed = propagate((n) => root((t) => mixed(n, t) - n.goal, -50, 150), inputs);
  const kilojoules =
    (waterMass(litres.value * share.value, salinity.value, tankC.value) *
      heatCapacity(salinity.value, tankC.value) *
      Math.abs(wantedC.value - tankC.value)) /
    1000;
  const gap = Math.abs(needed.value - tankC.value);
  return worked({
    results: [
      figure('new', 'Temperature of the new water', needed, '°C'),
      figure('matched', 'If it only matches the tank, the water stays at', tankC, '°C'),
    ],
    working: [
      stepBy('heat-capacity', 'temperature of the new water', needed, '°C'),
      step(
        'heat that moves that share by the difference',
        kilojoules,
        'kJ',
        'mass × heat capacity × °C',
        'MPD73',
      ),
    ],
    warnings: [
      ...(gap > 2
        ? ['New water more than 2 °C from the tank is a shock where it enters: pour slowly, or change less.']
        : []),
      ...(needed.value > 35 || needed.value < 15
        ? ['Water this warm or cold should not meet animals: warm or cool the tank itself instead.']
        : []),
      ...(Math.abs(wantedC.value - tankC.value) > 1
        ? ['More than 1 °C in a day is more than animals should meet.']
        : []),
    ],
    cautions: ['CAU-E3'],
    entries: [
      {
        kind: 'exchange',
        body: { fraction: share.value, salinity: salinity.value, temperatureC: needed.value },
      },
    ],
  });
}

/** Three ways to the same dilution: at once, in equal parts, or running in and out all the while. */
export function continuousOrBatch(plan: {
  litres: Measured;
  now: Measured;
  fresh: Measured;
  target: Measured;
  parts: number;
  litresPerHour: Measured;
}): Worked {
  const { litres, now, fresh, target, parts, litresPerHour } = plan;
  if (!(target.value < now.value && target.value > fresh.value))
    throw new InputFault(
      'target',
      'it does not lie between the new water and the tank',
      'Write a target between the two.',
    );
  const inputs = { v: litres, c: now, w: fresh, g: target };
  const once = propagate(({ v, c, w, g }) => v * (1 - (g - w) / (c - w)), inputs);
  const inParts = propagate(({ v, c, w, g }) => v * parts * (1 - ((g - w) / (c - w)) ** (1 / parts)), inputs);
  const running = propagate(({ v, c, w, g }) => v * Math.log((c - w) / (g - w)), inputs);
  const hours = propagate(({ v, q }) => v / q, { v: running, q: litresPerHour });
  return worked({
    results: [
      figure('once', 'New water, one change', once, 'L'),
      figure('parts', `New water, ${parts} equal changes`, inParts, 'L'),
      figure('running', 'New water, running in and out', running, 'L'),
      figure('hours', 'Time that takes at the flow given', hours, 'h'),
    ],
    working: [
      step('one change', once, 'L', 'V·(1 − (target − new)/(now − new))', 'conservation of mass'),
      step('equal changes', inParts, 'L', 'V·n·(1 − ratio^(1/n))', 'conservation of mass'),
      step('running', running, 'L', 'V·ln((now − new)/(target − new)), fully mixed', 'conservation of mass'),
    ],
    warnings: [
      'Running exchange uses the most water and changes the tank most gently; it needs full mixing and an outflow that cannot block.',
    ],
    cautions: ['CAU-E3', 'CAU-F5', 'CAU-W1'],
    entries: [{ kind: 'exchange', body: { litres: Math.round(running.value * 100) / 100 } }],
  });
}
