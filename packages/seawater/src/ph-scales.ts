import { lnKSulfateDickson1990 } from './equilibrium/bisulfate.ts';
import { lnKFluorideDicksonRiley1979 } from './equilibrium/fluoride.ts';
import { totalFluoride, totalSulfate } from './equilibrium/totals.ts';
import { kelvin } from './temperature.ts';

/**
 * The hydrogen ion a pH counts. `total`: free and bound to sulfate, mol/kg-sw (used inside); `SWS`: also bound to
 * fluoride; `free`: unbound only; `NBS`: a probe or kit set with fresh-water buffers, as nearly all are.
 */
export type PHScale = 'total' | 'SWS' | 'free' | 'NBS';

/** The four scales, in the order they are listed to people. */
export const pHScales: readonly PHScale[] = ['NBS', 'total', 'SWS', 'free'];

/** Below this salinity the fit of `activityFactor` no longer holds and the square-root rule takes over. */
const LOWEST_SALINITY_OF_FIT = 20;

/** Factor from free to total hydrogen ion, 1 + S_T/K_S. */
export const freeToTotal = (salinity: number, temperatureC: number): number =>
  1 + totalSulfate(salinity) / Math.exp(lnKSulfateDickson1990(salinity, temperatureC));

/** A function ln K_F(S, t), natural logarithm, free scale. */
export type LnConstant = (salinity: number, temperatureC: number) => number;

/** Factor from free to seawater-scale hydrogen ion, 1 + S_T/K_S + F_T/K_F. */
export const freeToSeawater = (
  salinity: number,
  temperatureC: number,
  lnKFluoride: LnConstant = lnKFluorideDicksonRiley1979,
): number =>
  freeToTotal(salinity, temperatureC) +
  totalFluoride(salinity) / Math.exp(lnKFluoride(salinity, temperatureC));

/**
 * Apparent activity factor f_H of the hydrogen ion, pH_NBS = pH_SWS − log f_H [TWB82, from CP73]. An average of
 * electrodes that contains their liquid junction: a given probe differs by some ±0.04 pH. S 20–40.
 * Check: S 35, 25 °C → 0.7134043.
 */
export const activityFactor = (salinity: number, temperatureC: number): number => {
  const t = kelvin(temperatureC);
  return 1.2948 - 0.002036 * t + (4.607e-4 - 1.475e-6 * t) * salinity * salinity;
};

/** pH_NBS − pH_total where the fit of f_H holds (S ≥ 20). */
const nbsOffsetByFit = (salinity: number, temperatureC: number): number =>
  Math.log10(freeToTotal(salinity, temperatureC) / freeToSeawater(salinity, temperatureC)) -
  Math.log10(activityFactor(salinity, temperatureC));

/**
 * What must be added to a pH on the total scale to read it on `scale`.
 * NBS below S = 20: the fit would tend to 0.16 in fresh water where the truth tends to zero, so the value at
 * S = 20 is scaled by √(S/20) (our rule, ±0.05). Check: S 35, 25 °C → NBS 0.137, free 0.108, SWS −0.010.
 */
export function offsetFromTotal(scale: PHScale, salinity: number, temperatureC: number): number {
  switch (scale) {
    case 'total':
      return 0;
    case 'free':
      return Math.log10(freeToTotal(salinity, temperatureC));
    case 'SWS':
      return Math.log10(freeToTotal(salinity, temperatureC) / freeToSeawater(salinity, temperatureC));
    case 'NBS':
      return salinity >= LOWEST_SALINITY_OF_FIT
        ? nbsOffsetByFit(salinity, temperatureC)
        : nbsOffsetByFit(LOWEST_SALINITY_OF_FIT, temperatureC) * Math.sqrt(salinity / LOWEST_SALINITY_OF_FIT);
  }
}

/** A pH moved from one scale to another. Check: 8.2 NBS, S 35, 25 °C → 8.0630 total. */
export const convertPH = (
  pH: number,
  from: PHScale,
  to: PHScale,
  salinity: number,
  temperatureC: number,
): number =>
  from === to
    ? pH
    : pH - offsetFromTotal(from, salinity, temperatureC) + offsetFromTotal(to, salinity, temperatureC);

/**
 * pH on the total scale of equimolal 0.04 mol/kg Tris buffer in artificial seawater [DD98]; S 20–40, 0–45 °C.
 * A probe set in it reads the total scale directly. Check: S 35, 25 °C → 8.0935.
 */
export function trisBufferPH(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  return (
    (11911.08 - 18.2499 * s - 0.039336 * s * s) / t -
    366.27059 +
    0.53993607 * s +
    0.00016329 * s * s +
    (64.52243 - 0.084041 * s) * Math.log(t) -
    0.11149858 * t
  );
}
