import {
  alkalinityPerMole,
  alkalinityUmolKg,
  aragoniteSaturation,
  type CarbonateSystem,
  carbonateSystem,
  compositionOf,
  convertConcentration,
  convertPH,
  density,
  dKHFromMeqL,
  inBalanceWithAir,
  type Measured,
  milliequivalentsPerGram,
  propagate,
  rangeOf,
  totalCalcium,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { systemOf } from '../mixing/blend.ts';
import { figure, step, stepBy, type Worked, worked } from '../worked.ts';
import { DEPOSITS_ABOVE, daysFor, safeStepPerDay } from './safe-steps.ts';

/** What the alkalinity comes from. */
export type Buffer = 'bicarbonate' | 'carbonate' | 'hydroxide';

/** Formula of each buffer. */
export const bufferFormula: Readonly<Record<Buffer, string>> = {
  bicarbonate: 'NaHCO3',
  carbonate: 'Na2CO3',
  hydroxide: 'Ca(OH)2',
};

/** A rise of alkalinity in a tank. */
export type AlkalinityRise = {
  litres: Measured;
  now: Measured;
  target: Measured;
  buffer: Buffer;
  purity: Measured;
  salinity: Measured;
  temperatureC: Measured;
  /** NBS; where not known the water is taken to be in balance with the room. */
  pH?: Measured | undefined;
  /** ppm of dry air. */
  roomCO2: Measured;
  /** mg/L; that of natural seawater of this salinity where not known. */
  calcium?: Measured | undefined;
};

/** What the carbonate system does: before, right after the whole change, and once in balance with the room again. */
type Course = { before: CarbonateSystem; after: CarbonateSystem; settled: CarbonateSystem };

function courseOf(rise: AlkalinityRise, gained: number): Course {
  const salinity = rise.salinity.value;
  const temperatureC = rise.temperatureC.value;
  const water = { salinity, temperatureC };
  const now = alkalinityUmolKg(rise.now.value, salinity, temperatureC);
  const before = rise.pH
    ? systemOf(rise.now.value, rise.pH.value, salinity, temperatureC)
    : inBalanceWithAir(now, rise.roomCO2.value, water);
  const formula = bufferFormula[rise.buffer];
  const carbonPerEquivalent = (compositionOf(formula).get('C') ?? 0) / alkalinityPerMole(formula);
  const added = alkalinityUmolKg(gained, salinity, temperatureC);
  const alkalinity = before.alkalinity + added;
  return {
    before,
    after: carbonateSystem({ alkalinity, dic: before.dic + added * carbonPerEquivalent }, water),
    settled: inBalanceWithAir(alkalinity, rise.roomCO2.value, water),
  };
}

/** Calcium, µmol/kg, from mg/L in this water. */
export const calciumUmolKg = (mgL: number, salinity: number, temperatureC: number): number =>
  convertConcentration(
    mgL,
    { unit: 'mg/L', substance: 'Ca' },
    { unit: 'umol/kg', substance: 'Ca' },
    density(salinity, temperatureC),
  );

/** Grams of a buffer for a rise of alkalinity, in safe daily parts, with what pH and deposits it leads to. */
export function raiseAlkalinity(rise: AlkalinityRise): Worked {
  const { litres, now, target, buffer, purity } = rise;
  const gain = target.value - now.value;
  if (gain <= 0)
    throw new InputFault(
      'target',
      'alkalinity is there already',
      'Nothing need be added; it falls by itself.',
    );
  const salinity = rise.salinity.value;
  const temperatureC = rise.temperatureC.value;
  const formula = bufferFormula[buffer];
  const perGram = milliequivalentsPerGram(formula);
  const grams = propagate(({ v, a, b, p }) => (v * (b - a)) / (perGram * p), {
    v: litres,
    a: now,
    b: target,
    p: purity,
  });
  const days = daysFor(gain, safeStepPerDay.alkalinity);
  const whole = courseOf(rise, gain);
  const firstDay = courseOf(rise, gain / days);
  const nbs = (system: CarbonateSystem): number =>
    convertPH(system.pH, 'total', 'NBS', salinity, temperatureC);
  const calcium = rise.calcium
    ? calciumUmolKg(rise.calcium.value, salinity, temperatureC)
    : 1e6 * totalCalcium(salinity);
  const saturation = (system: CarbonateSystem): number =>
    aragoniteSaturation(calcium, system.carbonate, salinity, temperatureC);
  return worked({
    results: [
      figure('grams', `${formula} in all`, grams, 'g'),
      figure('days', 'Days to spread it over, with animals in the water', days, 'd', 1),
      figure('perDay', `${formula} a day`, { value: grams.value / days, sd: grams.sd / days }, 'g'),
      figure('rise', 'Rise', dKHFromMeqL(gain), 'dKH'),
      figure('pHNow', 'pH (NBS) now', nbs(whole.before), ''),
      figure('pHFirstDay', 'pH (NBS) right after the first part', nbs(firstDay.after), ''),
      figure('pHAtOnce', 'pH (NBS) right after, if added all at once', nbs(whole.after), ''),
      figure('pHSettled', 'pH (NBS) in the end, in balance with the room', nbs(whole.settled), ''),
      figure('saturation', 'Aragonite saturation in the end', saturation(whole.settled), ''),
    ],
    working: [
      step(`alkalinity in ${formula}`, perGram, 'meq/g', 'equivalents ÷ molar mass', 'WG07, IUPAC05'),
      step(
        'most in a day',
        safeStepPerDay.alkalinity,
        'meq/L',
        'with animals in the water',
        'customary practice',
      ),
      stepBy(
        salinity < 19 ? 'carbonate-system-low' : 'carbonate-system',
        'pH in the end',
        nbs(whole.settled),
        '',
      ),
      stepBy('calcium-carbonate', 'aragonite saturation', saturation(whole.settled), ''),
    ],
    warnings: [
      'With animals and ammonia in the water, add nothing that raises pH: it turns ammonium into ammonia.',
      ...(nbs(firstDay.after) > 8.5
        ? ['Even the first part lifts pH above 8.5: use bicarbonate, or smaller parts.']
        : []),
      ...(saturation(whole.settled) > DEPOSITS_ABOVE || saturation(firstDay.after) > DEPOSITS_ABOVE
        ? [
            'Calcium carbonate will tend to settle on heaters and pumps at this level: aim lower, and keep magnesium near 1300 mg/L.',
          ]
        : []),
      'Dissolve it apart and pour it slowly into strong flow; never together with, or soon after, calcium.',
      ...(rise.pH ? [] : ['pH was not given: the water is taken to be in balance with the room.']),
    ],
    outside: rangeOf(salinity < 19 ? 'carbonate-system-low' : 'carbonate-system', { salinity, temperatureC }),
    cautions: buffer === 'bicarbonate' ? [] : ['CAU-C2'],
    entries: [
      {
        kind: 'dose',
        body: {
          substance:
            buffer === 'bicarbonate' ? 'bicarbonate' : buffer === 'carbonate' ? 'carbonate' : 'other',
          grams: Math.round((100 * grams.value) / days) / 100,
        },
      },
    ],
  });
}
