/** Wavelength of the sodium D line, nm, to which refractometers refer. */
export const SODIUM_D_NM = 589.3;

/**
 * Refractive index of seawater relative to air [QF95, fitted to AH76]; S 0–35, 0–30 °C, 400–700 nm.
 * Check: S 35, 20 °C, 589.3 nm → 1.339406.
 */
export function refractiveIndexQuanFry1995(
  salinity: number,
  temperatureC: number,
  wavelengthNm: number = SODIUM_D_NM,
): number {
  const s = salinity;
  const t = temperatureC;
  const l = wavelengthNm;
  return (
    1.31405 +
    (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t) * s -
    2.02e-6 * t * t +
    (15.868 + 0.01155 * s - 0.00423 * t) / l -
    4382 / (l * l) +
    1.1455e6 / l ** 3
  );
}

/**
 * Refractive index of seawater at one atmosphere [MS90], other data and another form; S 0–43, 0–30 °C, 500–700 nm,
 * 5 ppm. One public code has the t³λ coefficient ten times too small; this one gives water at 20 °C as 1.33299.
 */
export function refractiveIndexMillardSeaver1990(
  salinity: number,
  temperatureC: number,
  wavelengthNm: number = SODIUM_D_NM,
): number {
  const t = temperatureC;
  const l = wavelengthNm / 1000;
  const l2 = l * l;
  const fresh =
    1.3280657 -
    4.5536802e-3 * l2 +
    2.5471707e-3 / l2 +
    7.501966e-6 / l2 ** 2 +
    2.802632e-6 / l2 ** 3 +
    t * (-5.2883907e-6 + t * (-3.0738272e-6 + t * (3.0124687e-8 - t * 2.0883178e-10))) +
    l * t * (1.0508621e-5 + t * (2.1282248e-7 - t * 1.705881e-9));
  const salt =
    1.9029121e-4 +
    2.4239607e-6 / l2 +
    t * (-7.3960297e-7 + t * (8.9818478e-9 + t * 1.2078804e-10)) -
    3.589495e-7 * t * l;
  return fresh + salinity * salt;
}
